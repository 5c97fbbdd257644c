"""Where things are, and where they were at any instant."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db.models import Exists, OuterRef, QuerySet, Subquery

from catalog.casts.models import Cast
from catalog.casts.reads import subject_of
from catalog.casts.subject import Subject
from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.places.models import Movement, Place, Placement
from registry.places.reads.tree import place_coded

# (key of the cast, key of the piece or None)
Key = tuple[int, int | None]


def key_of(subject: Subject) -> Key:
    return subject.cast.pk, subject.piece.pk if subject.piece else None


def thing_meant(reader: Actor, text: str) -> Subject | Place:
    """The cast, the piece or the place that a typed or scanned text means. NotFound otherwise."""
    return place_coded(reader, text) or subject_of(reader, text)


def subject_said(reader: Actor, text: str, field: str = "what") -> Subject:
    """The cast or piece that a form or the API was sent: a Refusal that names the field where it means none."""
    found = subject_meant(reader, text)
    if found is None:
        raise Refusal(Reason(f"“{text[:60]}” is not a number of ours.", field, said=text[:60]))
    return found


def subject_meant(reader: Actor, text: str) -> Subject | None:
    """The cast or piece that a text means; None where it means none."""
    try:
        return subject_of(reader, text)
    except NotFound:
        return None


def thing_said(reader: Actor, text: str, field: str = "what") -> Subject | Place:
    """As `thing_meant`, for what a form or the API was sent: a Refusal that names the field."""
    try:
        return thing_meant(reader, text)
    except NotFound as none:
        raise Refusal(Reason(str(none), field, said=text[:60])) from None


# now


def placements(reader: Actor) -> QuerySet[Placement]:
    """Where casts and pieces of this reader are, each with its places."""
    rows = Placement.objects.select_related("cast", "piece__cast", "place", "home")
    return rows.filter(cast__in=visible_to(reader, Cast.objects.all()))


def placement_of(subject: Subject) -> Placement | None:
    """Its own placement, without the places above it; a piece may have none."""
    rows = Placement.objects.select_related("cast", "piece__cast", "place__parent", "home__parent")
    return rows.filter(cast=subject.cast, piece=subject.piece).first()


def place_now(subject: Subject) -> Place | None:
    """Where it is now; a piece without a placement of its own is where its cast is."""
    rows = Placement.objects.select_related("place__parent").filter(cast=subject.cast, place__isnull=False)
    own = rows.filter(piece=subject.piece).first() if subject.piece else None
    found = own or rows.filter(piece__isnull=True).first()
    return found.place if found else None


# at any instant


def standing(rows: QuerySet[Movement]) -> QuerySet[Movement]:
    """Movements that no later one puts right."""
    return rows.filter(~Exists(Movement.objects.filter(replaces=OuterRef("pk"))))


def movement_before(subject: Subject | Place, at: datetime) -> Movement | None:
    """The last standing movement of exactly this thing at or before an instant."""
    rows = standing(Movement.objects.select_related("to_place", "from_place")).filter(at__lte=at)
    if isinstance(subject, Place):
        rows = rows.filter(container=subject)
    else:
        rows = rows.filter(cast=subject.cast, piece=subject.piece)
    return rows.order_by("-at", "-pk").first()


def stood_at(subject: Subject, at: datetime) -> Place | None:
    """The place that a thing stood in itself at an instant; a piece that had none of its own is where its cast was."""
    moved = movement_before(subject, at)
    if moved is not None and moved.to_place is not None:
        return moved.to_place
    return stood_at(Subject(subject.cast), at) if subject.piece else None


def place_as_of(subject: Subject, at: datetime) -> list[Place]:
    """Path of places that held it at an instant, outermost first; containers are followed to where they were then."""
    return where_is([subject], at)[subject]


def where_is(subjects: Iterable[Subject], at: datetime | None = None) -> dict[Subject, list[Place]]:
    """The path of each thing, outermost first, now or at an instant; empty where nobody has said. Four queries, however many."""
    asked = list(subjects)
    own = _places_now(asked) if at is None else _places_then(asked, at)
    stood_in = _parents_now() if at is None else _parents_then(at)
    by_pk = Place.objects.in_bulk()
    found = {}
    for subject in asked:
        pk, _ = key_of(subject)
        found[subject] = _path(own.get(key_of(subject)) or own.get((pk, None)), stood_in, by_pk)
    return found


def _path(pk: int | None, stood_in: dict[int, int | None], by_pk: dict[int, Place]) -> list[Place]:
    path: list[Place] = []
    while pk is not None and len(path) < 50:
        path.append(by_pk[pk])
        pk = stood_in.get(pk)
    return path[::-1]


def _places_now(subjects: list[Subject]) -> dict[Key, int | None]:
    rows = Placement.objects.filter(cast__in={s.cast.pk for s in subjects}, place__isnull=False)
    return {(cast, piece): place for cast, piece, place in rows.values_list("cast_id", "piece_id", "place_id")}


def _places_then(subjects: list[Subject], at: datetime) -> dict[Key, int | None]:
    """The last standing movement of each at or before the instant."""
    rows = standing(Movement.objects.filter(cast__in={s.cast.pk for s in subjects}, at__lte=at)).order_by("at", "pk")
    moves = rows.values_list("cast_id", "piece_id", "to_place_id")
    return {(cast, piece): place for cast, piece, place in moves if cast is not None}


def _parents_now() -> dict[int, int | None]:
    return dict(Place.objects.values_list("pk", "parent_id"))


def _parents_then(at: datetime) -> dict[int, int | None]:
    """What each place stood in: a container before its first movement where that movement took it from."""
    moves = standing(Movement.objects.filter(container=OuterRef("pk")))
    last, first = moves.filter(at__lte=at).order_by("-at", "-pk"), moves.filter(at__gt=at).order_by("at", "pk")
    rows: QuerySet[Any] = Place.objects.annotate(
        moved=Exists(last),
        then=Subquery(last.values("to_place")[:1]),
        moves_later=Exists(first),
        before_that=Subquery(first.values("from_place")[:1]),
    )
    found: dict[int, int | None] = {}
    for place in rows.only("pk", "parent"):
        found[place.pk] = place.then if place.moved else place.before_that if place.moves_later else place.parent_id
    return found
