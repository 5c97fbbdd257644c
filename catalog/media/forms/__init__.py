"""What was typed about photographs, marks and papers."""

from catalog.media.forms.annotations import MarkForm, UnmarkForm
from catalog.media.forms.photographs import AboutForm, ChangePhotographForm, DocumentForm, PhotographForm, WithdrawForm

__all__ = [
    "AboutForm",
    "ChangePhotographForm",
    "DocumentForm",
    "MarkForm",
    "PhotographForm",
    "UnmarkForm",
    "WithdrawForm",
]
