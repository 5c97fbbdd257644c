"""Records of this room, a file a noun."""

from catalog.casts.models.casts import Cast, CastPerson, OldNumber
from catalog.casts.models.columns import MASS_STATES
from catalog.casts.models.determinations import Determination
from catalog.casts.models.pieces import CrumbLot, FormerNumber, Piece
from catalog.casts.models.refitting import BreakFace, Join, RefusedFit
from catalog.excavations.models import MATERIALS

__all__ = [
    "MASS_STATES",
    "MATERIALS",
    "BreakFace",
    "Cast",
    "CastPerson",
    "CrumbLot",
    "Determination",
    "FormerNumber",
    "Join",
    "OldNumber",
    "Piece",
    "RefusedFit",
]
