"""Queries about pieces: rows of a list, the tree of what broke into what."""

from __future__ import annotations

from django.db.models import Case, CharField, Exists, OuterRef, Q, QuerySet, Value, When

from catalog.casts.models import Cast, Join, Piece
from catalog.casts.reads.casts import ABSENT, cast_at
from catalog.casts.rules.pieces import DRY, FIXED, gone_sentence
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to


def piece_at(reader: Actor, number: str, suffix: str) -> Piece:
    """One piece of a cast. NotFound otherwise."""
    cast = cast_at(reader, number)
    piece = visible_to(
        reader, Piece.objects.select_related("cast", "parent", "lift__excavation", "parted_from__cast", "became__cast")
    ).filter(cast=cast, suffix=suffix)
    found = piece.first()
    if found is None:
        raise NotFound(ABSENT)
    return found


def pieces_of(reader: Actor, cast: Cast) -> QuerySet[Piece]:
    """Pieces in natural order."""
    return visible_to(reader, Piece.objects.select_related("cast", "lift", "parent")).filter(cast=cast).order_by("sort")


def above(piece: Piece) -> list[Piece]:
    """What it broke from, and what that broke from: the nearest first, in one query."""
    parts = piece.suffix.split(".")
    suffixes = [".".join(parts[:n]) for n in range(len(parts) - 1, 0, -1)]
    rows = {p.suffix: p for p in Piece.objects.select_related("cast").filter(cast=piece.cast, suffix__in=suffixes)}
    return [rows[s] for s in suffixes if s in rows] if piece.parent_id else []


def why_gone(piece: Piece) -> str:
    """Why a piece that is not present cannot be handled, and what to turn to."""
    children = [c.number for c in piece.children.select_related("cast").filter(struck_off="").order_by("sort")]
    became = piece.became.number if piece.became else ""
    return gone_sentence(piece.number, children, piece.struck_off, became)


STATES = {
    "fixed": "held by a fixed join",
    "dry fit": "laid together dry",
    "loose": "loose",
    "missing": "missing",
    "broken": "broke into others",
    "gone": "struck off, or of another cast",
}


def pieces_with_state(reader: Actor, cast: Cast) -> QuerySet[Piece]:
    """Pieces of a cast with `hold`, one of STATES, told from the joins: one query whatever the pieces."""
    tied = Join.objects.filter(Q(face_a__piece=OuterRef("pk")) | Q(face_b__piece=OuterRef("pk")))
    hold = Case(
        When(Q(became__isnull=False) | ~Q(struck_off=""), then=Value("gone")),
        When(present=False, then=Value("broken")),
        When(missing_since__isnull=False, then=Value("missing")),
        When(Exists(tied.filter(state=FIXED)), then=Value("fixed")),
        When(Exists(tied.filter(state=DRY)), then=Value("dry fit")),
        default=Value("loose"),
        output_field=CharField(),
    )
    rows = Piece.objects.select_related("cast", "lift__excavation", "parent").filter(cast=cast)
    return visible_to(reader, rows).annotate(hold=hold)
