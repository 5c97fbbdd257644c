"""Where things are, where they were at any instant, and what stands in a place."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db import connection
from django.db.models import Exists, OuterRef, QuerySet

from catalog.casts.models import Cast
from catalog.casts.subject import Subject
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.places.models import Custody, Movement, Place, Placement

_UP = (
    "WITH RECURSIVE up(id, parent_id, d) AS (SELECT id, parent_id, 0 FROM registry_place WHERE id = %s "
    "UNION ALL SELECT p.id, p.parent_id, d + 1 FROM registry_place p JOIN up ON p.id = up.parent_id WHERE d < 50) "
    "SELECT id FROM up ORDER BY d DESC"
)
_DOWN = (
    "WITH RECURSIVE down(id) AS (SELECT id FROM registry_place WHERE id = %s "
    "UNION SELECT p.id FROM registry_place p JOIN down ON p.parent_id = down.id) SELECT id FROM down"
)


def place_at(reader: Actor, code: str) -> Place:
    """The place of this code, whatever the case. NotFound otherwise."""
    place = visible_to(reader, Place.objects.select_related("parent")).filter(code__iexact=code.strip()).first()
    if place is None:
        raise NotFound(f"“{code[:40]}” is not a place of ours.")
    return place


def place_meant(reader: Actor, words: str) -> Place | None:
    """The place that a typed or scanned text means: its code, its label's address, or its name."""
    rows = visible_to(reader, Place.objects.filter(closed_on__isnull=True))
    last = words.strip().rstrip("/").rsplit("/", 1)[-1]
    named = rows.filter(code__iexact=last).first()
    return named or rows.filter(name__iexact=words.strip()).first()


def path_of(place: Place) -> list[Place]:
    """From the outermost place down to this one."""
    with connection.cursor() as cursor:
        cursor.execute(_UP, [place.pk])
        ids = [row[0] for row in cursor.fetchall()]
    rows = Place.objects.in_bulk(ids)
    return [rows[i] for i in ids]


def paths() -> dict[int, str]:
    """`Station > Store > Bay B` for every place, in one query."""
    rows = {p["id"]: p for p in Place.objects.values("id", "parent_id", "name")}
    done: dict[int, str] = {}

    def path(pk: int, depth: int = 0) -> str:
        if pk not in done:
            row = rows[pk]
            above = path(row["parent_id"], depth + 1) + " › " if row["parent_id"] and depth < 50 else ""
            done[pk] = above + row["name"]
        return done[pk]

    for pk in rows:
        path(pk)
    return done


def within(place: Place) -> list[int]:
    """Keys of this place and all places in it, at any depth."""
    with connection.cursor() as cursor:
        cursor.execute(_DOWN, [place.pk])
        return [row[0] for row in cursor.fetchall()]


def placements_in(reader: Actor, place: Place) -> QuerySet[Placement]:
    """Casts and pieces that are in this place or in a container in it."""
    rows = Placement.objects.select_related("cast", "cast__taxon", "piece", "place").filter(place__in=within(place))
    return rows.filter(cast__in=visible_to(reader, Cast.objects.all())).order_by("cast__sort")


def place_now(subject: Subject) -> Place | None:
    """Where it is now; a piece without a placement of its own is where its cast is."""
    rows = Placement.objects.select_related("place").filter(cast=subject.cast, place__isnull=False)
    own = rows.filter(piece=subject.piece).first() if subject.piece else None
    found = own or rows.filter(piece__isnull=True).first()
    return found.place if found else None


def _standing(rows: QuerySet[Movement]) -> QuerySet[Movement]:
    """Movements that no later one puts right."""
    return rows.filter(~Exists(Movement.objects.filter(replaces=OuterRef("pk"))))


def movement_before(subject: Subject | Place, at: datetime) -> Movement | None:
    """The last standing movement of exactly this thing at or before an instant."""
    rows = _standing(Movement.objects.select_related("to_place", "from_place")).filter(at__lte=at)
    if isinstance(subject, Place):
        rows = rows.filter(container=subject)
    else:
        rows = rows.filter(cast=subject.cast, piece=subject.piece)
    return rows.order_by("-at", "-pk").first()


def place_as_of(subject: Subject, at: datetime) -> list[Place]:
    """Path of places that held it at an instant, outermost first; containers are followed to where they were then."""
    moved = movement_before(subject, at)
    if moved is None and subject.piece:
        moved = movement_before(Subject(subject.cast), at)
    path: list[Place] = []
    place = moved.to_place if moved else None
    while place is not None and len(path) < 50:
        path.append(place)
        place = _stood_in(place, at)
    return path[::-1]


def _stood_in(place: Place, at: datetime) -> Place | None:
    """What this place stood in at an instant: before a container's first movement, where that movement took it from."""
    if not place.movable:
        return place.parent
    moved = movement_before(place, at)
    if moved:
        return moved.to_place
    first = (
        _standing(Movement.objects.select_related("from_place").filter(container=place)).order_by("at", "pk").first()
    )
    return first.from_place if first else place.parent


def movements_of(reader: Actor, cast: Cast) -> QuerySet[Movement]:
    """All movements of a cast and its pieces, newest first."""
    rows = Movement.objects.select_related("from_place", "to_place", "by", "piece", "cast", "written_by")
    return rows.filter(cast=cast).order_by("-at", "-pk")


def holder_now(casts: Iterable[Cast]) -> dict[int, Custody]:
    """The newest line of custody of each cast, in one query."""
    rows = (
        Custody.objects.select_related("holder").filter(cast__in=list(casts), piece__isnull=True).order_by("at", "pk")
    )
    return {line.cast_id: line for line in rows}


def holder_as_of(cast: Cast, at: datetime) -> Custody | None:
    """Who held it at an instant."""
    rows = Custody.objects.select_related("holder").filter(cast=cast, piece__isnull=True, at__lte=at)
    return rows.order_by("-at", "-pk").first()
