"""Casts, pieces, joins and determinations for machines."""

from catalog.casts.api.casts import Casts
from catalog.casts.api.determinations import Determinations
from catalog.casts.api.pieces import Pieces, PiecesOfCast

__all__ = ["Casts", "Determinations", "Pieces", "PiecesOfCast"]
