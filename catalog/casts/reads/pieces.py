"""Queries about pieces: rows of a list, the tree of what broke into what."""

from __future__ import annotations

from django.db.models import QuerySet

from catalog.casts.models import Cast, Piece
from catalog.casts.reads.casts import ABSENT, cast_at
from catalog.casts.rules.pieces import gone_sentence
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to


def piece_at(reader: Actor, number: str, suffix: str) -> Piece:
    """One piece of a cast. NotFound otherwise."""
    cast = cast_at(reader, number)
    piece = visible_to(reader, Piece.objects.select_related("cast", "parent", "lift")).filter(cast=cast, suffix=suffix)
    found = piece.first()
    if found is None:
        raise NotFound(ABSENT)
    return found


def pieces_of(reader: Actor, cast: Cast) -> QuerySet[Piece]:
    """Pieces in natural order."""
    return visible_to(reader, Piece.objects.select_related("cast", "lift", "parent")).filter(cast=cast).order_by("sort")


def why_gone(piece: Piece) -> str:
    """Why a piece that is not present cannot be handled, and what to turn to."""
    children = [c.number for c in piece.children.select_related("cast").filter(struck_off="").order_by("sort")]
    became = piece.became.number if piece.became else ""
    return gone_sentence(piece.number, children, piece.struck_off, became)
