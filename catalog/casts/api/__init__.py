"""Casts, pieces, faces, joins, crumb lots and determinations for machines."""

from catalog.casts.api.casts import Casts
from catalog.casts.api.crumbs import CrumbLots, CrumbToPiece
from catalog.casts.api.determinations import Determinations
from catalog.casts.api.pieces import GiveToCast, PartNumber, Pieces, PiecesOfCast, PutBack, StrikeOff
from catalog.casts.api.refitting import DivideFace, Faces, Joins, RefusedFits
from catalog.casts.api.suggested_fits import SuggestedFits

__all__ = [
    "Casts",
    "CrumbLots",
    "CrumbToPiece",
    "Determinations",
    "DivideFace",
    "Faces",
    "GiveToCast",
    "Joins",
    "PartNumber",
    "Pieces",
    "PiecesOfCast",
    "PutBack",
    "RefusedFits",
    "StrikeOff",
    "SuggestedFits",
]
