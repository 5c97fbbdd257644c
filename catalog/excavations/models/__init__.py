"""One nest dug: place, day, people, leave, pours, lifts, bags; and the lots that pours draw on."""

from catalog.excavations.models.digs import ExactPlace, Excavation, ExcavationPerson
from catalog.excavations.models.lifts import Bag, Lift
from catalog.excavations.models.material import MATERIALS, LotEntry, MaterialLot, Pour
from catalog.excavations.models.sites import CATEGORY_WORDS, Permit, Site

__all__ = [
    "CATEGORY_WORDS",
    "MATERIALS",
    "Bag",
    "ExactPlace",
    "Excavation",
    "ExcavationPerson",
    "Lift",
    "LotEntry",
    "MaterialLot",
    "Permit",
    "Pour",
    "Site",
]
