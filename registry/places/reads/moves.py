"""Movements: the list, those of one thing, what can still be undone, and what one of them says."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from catalog.casts.models import Cast
from catalog.casts.subject import Subject
from catalog.ground.collection import local, today
from catalog.ground.kept import kept_on
from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor, may
from catalog.ground.sight import visible_to
from catalog.people.models import Person
from catalog.people.reads import person_meant
from registry.places import rules
from registry.places.models import Movement, Place, Placement
from registry.places.reads.contents import sum_in
from registry.places.reads.tree import where_words
from registry.places.reads.whereabouts import movement_before, standing

MOST_ON_PAGE = 200
_BESIDE = (
    "cast",
    "piece__cast",
    "container",
    "from_place__parent",
    "to_place__parent",
    "by",
    "written_by__person",
    "replaces__to_place",
)


def movements(reader: Actor) -> QuerySet[Any]:
    """Movements with all that a row shows; `put_right` where a later one corrects it."""
    rows = visible_to(reader, Movement.objects.select_related(*_BESIDE))
    return rows.annotate(put_right=Exists(Movement.objects.filter(replaces=OuterRef("pk"))))


def movement_at(reader: Actor, pk: int) -> Any:
    found = movements(reader).filter(pk=pk).first()
    if found is None:
        raise NotFound("This is not a movement of ours, or not one for your eyes.")
    return found


def movements_of(reader: Actor, cast: Cast) -> QuerySet[Any]:
    """All movements of a cast and its pieces, newest first."""
    return movements(reader).filter(cast=cast).order_by("-at", "-pk")


def moves_on_page(reader: Actor, cast: Cast) -> list[Any]:
    """The newest `MOST_ON_PAGE` movements of a cast and its pieces, read once for its page."""
    return kept_on(cast, "moves", lambda: list(movements_of(reader, cast)[:MOST_ON_PAGE]))


def movements_at(reader: Actor, keys: Iterable[int]) -> QuerySet[Any]:
    """Movements from or to any of these places, newest first."""
    places = list(keys)
    return movements(reader).filter(Q(from_place__in=places) | Q(to_place__in=places)).order_by("-at", "-pk")


def moves_of_container(reader: Actor, container: Place) -> QuerySet[Any]:
    return movements(reader).filter(container=container).order_by("-at", "-pk")


def subject_of_move(moved: Movement) -> Subject | Place:
    """What was moved, as the acts take it."""
    if moved.container:
        return moved.container
    assert moved.cast is not None
    return Subject(moved.cast, moved.piece)


def newest_on_page(reader: Actor, what: Subject) -> Any:
    """The latest standing movement of exactly this cast or piece, among those that its page reads."""
    mine = what.piece.pk if what.piece else None
    return next((m for m in moves_on_page(reader, what.cast) if m.piece_id == mine and not m.put_right), None)


def undoable(reader: Actor, what: Subject | Place) -> Movement | None:
    """The latest movement of a thing while who wrote it today may still take it back."""
    return undoable_of(reader, movement_before(what, timezone.now())) if may(reader, "move.do") else None


def undoable_of(reader: Actor, newest: Movement | None) -> Movement | None:
    """The same, where the latest movement is known."""
    if not may(reader, "move.do") or newest is None or newest.replaces_id or newest.written_by_id != reader.account_id:
        return None
    return newest if local(newest.written_at).date() == today() else None


def said_of_move(reader: Actor, moved: Movement) -> str:
    """`K-12 is now on shelf 3, with 14 pieces.`: where the thing is after this movement."""
    what = subject_of_move(moved)
    newest = movement_before(what, timezone.now())
    where = where_words(newest.to_place if newest else None)
    if newest is not None and newest.pk != moved.pk and newest.replaces_id != moved.pk:
        return f"It is written. {what} went on since then: it is now {where}."
    n = sum_in(reader, what).n_pieces if isinstance(what, Place) else 0
    return rules.now_there(str(what), where, n)


def goes_along(cast: Cast, placement: Placement, at: Any) -> list[Placement]:
    """Pieces with a placement of their own that stand where the cast stands: they go where it goes."""
    if placement.place_id is None or (placement.since and at < placement.since):
        return []
    rows = Placement.objects.select_for_update(of=("self",), no_key=True).select_related("piece__cast")
    there = rows.filter(cast=cast, piece__isnull=False, piece__present=True, place=placement.place_id)
    return list(there.filter(since__lte=at).order_by("piece_id"))


def went_along(moved: Movement) -> list[Movement]:
    """Movements of pieces that were written because their cast was moved."""
    if moved.cast is None or moved.piece is not None:
        return []
    rows = standing(Movement.objects.select_related("piece__cast", "cast", "from_place", "to_place", "by"))
    same = {"at": moved.at, "to_place": moved.to_place, "from_place": moved.from_place}
    return list(rows.filter(cast=moved.cast, piece__isnull=False, replaces__isnull=True, **same).order_by("pk"))


def who_moved(moved: Movement) -> str:
    """The person who moved it, else who wrote it."""
    if moved.by:
        return moved.by.name
    return str(moved.written_by.person) if moved.written_by else ""


def person_said(reader: Actor, text: str, field: str) -> Person:
    """The person that a form or the API was sent, by name, public id or key: a Refusal that names the field where there is none."""
    said = text.strip()
    found = person_meant(said)
    if found is None or not visible_to(reader, Person.objects.filter(pk=found.pk)).exists():
        sentence = f"“{said[:60]}” is not one person on record here. Write the whole name, or put them on record first."
        raise Refusal(Reason(sentence, field, "/people/new/", said[:60]))
    return found


def me(reader: Actor) -> Person | None:
    return Person.objects.filter(pk=reader.person_id).first() if reader.person_id else None
