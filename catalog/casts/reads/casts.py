"""Queries about casts that pages, the API, papers and other rooms share; what a number means."""

from __future__ import annotations

from typing import Any

from django.db.models import Prefetch, QuerySet, prefetch_related_objects
from django.db.models.functions import Upper

from catalog.casts.models import Cast, Determination, FormerNumber, OldNumber, Piece
from catalog.casts.numbers import normalise
from catalog.casts.subject import Subject
from catalog.ground.collection import collection
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to

ABSENT = "This is not a number of ours, or not one for your eyes."


def casts_for_list(reader: Actor) -> QuerySet[Cast]:
    """Casts this reader may know of, with what a row of a list shows."""
    return visible_to(reader, Cast.objects.select_related("taxon", "excavation", "excavation__site"))


def cast_at(reader: Actor, number: str) -> Cast:
    """The cast that goes by this number, or went by it before. NotFound otherwise."""
    cast = _cast(casts_for_list(reader), number)
    if cast is None:
        raise NotFound(ABSENT)
    return cast


def _cast(rows: QuerySet[Cast], number: str) -> Cast | None:
    return _first_of(rows, [number])


def _any_case(rows: Any, wanted: list[str]) -> Any:
    return rows.alias(up=Upper("number")).filter(up__in=wanted)


def _first_of(rows: QuerySet[Cast], numbers: list[str]) -> Cast | None:
    """The cast of the first of these numbers that there is: those of today before old ones. Whatever the case."""
    wanted = [n.upper() for n in numbers]
    found: dict[str, Cast] = {c.number.upper(): c for c in _any_case(rows, wanted)}
    if not found:
        olds = OldNumber.objects.alias(up=Upper("number")).filter(up__in=wanted).values_list("number", "cast_id")
        by_pk = rows.in_bulk([pk for _, pk in olds]) if olds else {}
        found = {number.upper(): by_pk[pk] for number, pk in olds if pk in by_pk}
    return next((found[n] for n in wanted if n in found), None)


def subject_of(reader: Actor, text: str, *, follow: bool = True) -> Subject:
    """The cast or piece that a typed or scanned text means: `2016.1`, `th 2016 1 3`, a label's address. NotFound otherwise.

    `follow`: a piece that was found to be of another cast is taken by the number it goes by now.
    """
    ours = collection()
    for candidate in normalise(text, ours.code, patterns=(ours.accession_pattern, ours.entry_pattern)):
        if found := _subject(reader, candidate, follow):
            return found
    raise NotFound(f"“{text[:60]}” is not a number of ours.")


def _subject(reader: Actor, number: str, follow: bool) -> Subject | None:
    """2016.1.4.2 may be piece 4.2 of 2016.1: the longest number of a cast counts."""
    parts = number.split(".")
    cast = _first_of(casts_for_list(reader), [".".join(parts[:cut]) for cut in range(len(parts), 0, -1)])
    if cast is None:
        return None
    # an old number may be longer or shorter than the present one
    for cut in range(len(parts), 0, -1):
        if cut == len(parts) and _bears(cast, number):
            return Subject(cast)
        if cut < len(parts) and _bears(cast, ".".join(parts[:cut])):
            piece = Piece.objects.select_related("cast").filter(cast=cast, suffix=".".join(parts[cut:]))
            found = visible_to(reader, piece).first()
            if found and follow:
                cast, found = goes_by(cast, found)
            return Subject(cast, found) if found else None
    return None


def goes_by(cast: Cast, piece: Piece) -> tuple[Cast, Piece]:
    """The piece, or the one it goes by now where it was found to be of another cast."""
    while piece.became_id:
        piece = Piece.objects.select_related("cast").get(pk=piece.became_id)
        cast = piece.cast
    return cast, piece


def _bears(cast: Cast, number: str) -> bool:
    if cast.number.upper() == number.upper():
        return True
    return cast.old_numbers.filter(number__iexact=number).exists()


def with_parts(rows: QuerySet[Cast]) -> QuerySet[Cast]:
    """The same casts with their former numbers, determinations and people at hand."""
    return rows.prefetch_related(*_parts())


def parts_at_hand(cast: Cast) -> Cast:
    """The same cast, its former numbers, determinations and people at hand."""
    prefetch_related_objects([cast], *_parts())
    return cast


def _parts() -> tuple[Prefetch[Any] | str, ...]:
    determinations = Determination.objects.select_related("taxon", "by").order_by("-pk")
    return (
        Prefetch("former_numbers", FormerNumber.objects.order_by("pk")),
        Prefetch("determinations", determinations),
        "people__person",
        "old_numbers",
    )
