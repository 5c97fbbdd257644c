"""What was typed at the hole and at the desk, read into what the actions take."""

from catalog.excavations.forms.around import CategoryForm, LotForm, MassForm, PermitForm, SiteForm
from catalog.excavations.forms.digs import DigForm, PlaceForm
from catalog.excavations.forms.lifting import BagsForm, CloseBagForm, LiftForm, PourForm, TieForm

__all__ = [
    "BagsForm",
    "CategoryForm",
    "CloseBagForm",
    "DigForm",
    "LiftForm",
    "LotForm",
    "MassForm",
    "PermitForm",
    "PlaceForm",
    "PourForm",
    "SiteForm",
    "TieForm",
]
