"""Queries of this room, a file a noun."""

from catalog.casts.reads.casts import cast_at, casts_for_list, subject_of, with_parts
from catalog.casts.reads.pieces import piece_at, pieces_of

__all__ = ["cast_at", "casts_for_list", "piece_at", "pieces_of", "subject_of", "with_parts"]
