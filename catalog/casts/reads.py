"""Queries about casts and pieces that pages, the API, papers and other rooms share."""

from __future__ import annotations

from django.db.models import Prefetch, QuerySet

from catalog.casts.models import Cast, Determination, FormerNumber, Piece
from catalog.casts.numbers import normalise
from catalog.casts.subject import Subject
from catalog.ground.collection import collection
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to

_ABSENT = "This is not a number of ours, or not one for your eyes."


def casts_for_list(reader: Actor) -> QuerySet[Cast]:
    """Casts this reader may know of, with what a row of a list shows."""
    return visible_to(reader, Cast.objects.select_related("taxon", "excavation", "excavation__site"))


def cast_at(reader: Actor, number: str) -> Cast:
    """The cast that goes by this number, or went by it before. NotFound otherwise."""
    cast = _cast(casts_for_list(reader), number)
    if cast is None:
        raise NotFound(_ABSENT)
    return cast


def _cast(rows: QuerySet[Cast], number: str) -> Cast | None:
    return rows.filter(number__iexact=number).first() or rows.filter(old_numbers__number__iexact=number).first()


def piece_at(reader: Actor, number: str, suffix: str) -> Piece:
    """One piece of a cast. NotFound otherwise."""
    cast = cast_at(reader, number)
    piece = visible_to(reader, Piece.objects.select_related("cast", "parent", "lift")).filter(cast=cast, suffix=suffix)
    found = piece.first()
    if found is None:
        raise NotFound(_ABSENT)
    return found


def subject_of(reader: Actor, text: str) -> Subject:
    """The cast or piece that a typed or scanned text means: `2016.1`, `th 2016 1 3`, a label's address. NotFound otherwise."""
    for candidate in normalise(text, collection().code):
        if found := _subject(reader, candidate):
            return found
    raise NotFound(f"“{text[:60]}” is not a number of ours.")


def _subject(reader: Actor, number: str) -> Subject | None:
    rows = casts_for_list(reader)
    if cast := _cast(rows, number):
        return Subject(cast)
    # 2016.1.4.2 may be piece 4.2 of 2016.1: try the longest cast number first
    parts = number.split(".")
    for cut in range(len(parts) - 1, 0, -1):
        cast = _cast(rows, ".".join(parts[:cut]))
        if cast is None:
            continue
        piece = (
            visible_to(reader, Piece.objects.select_related("cast"))
            .filter(cast=cast, suffix=".".join(parts[cut:]))
            .first()
        )
        return Subject(cast, piece) if piece else None
    return None


def with_parts(rows: QuerySet[Cast]) -> QuerySet[Cast]:
    """The same casts with their former numbers, determinations and people at hand."""
    determinations = Determination.objects.select_related("taxon", "by").order_by("-pk")
    return rows.prefetch_related(
        Prefetch("former_numbers", FormerNumber.objects.order_by("pk")),
        Prefetch("determinations", determinations),
        "people__person",
        "old_numbers",
    )


def pieces_of(reader: Actor, cast: Cast) -> QuerySet[Piece]:
    """Pieces in natural order."""
    return visible_to(reader, Piece.objects.select_related("cast", "lift", "parent")).filter(cast=cast).order_by("sort")
