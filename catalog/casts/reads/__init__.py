"""Queries of this room, a file a noun."""

from catalog.casts.reads.casts import cast_at, casts_for_list, parts_at_hand, subject_of, with_parts
from catalog.casts.reads.pieces import piece_at, pieces_of

__all__ = ["cast_at", "casts_for_list", "parts_at_hand", "piece_at", "pieces_of", "subject_of", "with_parts"]
