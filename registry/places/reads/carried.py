"""Movements that a thing made without being touched: those of the crate it stood in, and of the van that the crate stood in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import connection

from catalog.casts.models import Cast
from catalog.casts.subject import Subject
from catalog.ground.roles import Actor
from registry.places.models import Movement
from registry.places.reads.moves import MOST_ON_PAGE, movements, moves_on_page
from registry.places.reads.whereabouts import standing

_DEEPEST = 5


@dataclass(frozen=True)
class Span:
    """It stood in this place from an instant until before another; no end is until now."""

    place: int
    begins: datetime
    ends: datetime | None

    def holds(self, at: datetime) -> bool:
        return self.begins < at and (self.ends is None or at < self.ends)


def moves_with_it(reader: Actor, what: Subject, *, most: int) -> list[Any]:
    """Standing movements of containers while it stood in them, newest first. Two queries for each container in a container."""
    spans, found = _spans(_line_of(reader, what)), []
    for _ in range(_DEEPEST):
        spans = _in_containers(spans)
        if not spans:
            break
        keys = {s.place for s in spans}
        rows = movements(reader).filter(container__in=keys, put_right=False, at__gt=min(s.begins for s in spans))
        moves = list(rows.order_by("-at", "-pk")[:most])
        found += [m for m in moves if any(s.place == m.container_id and s.holds(m.at) for s in spans)]
        spans = _spans_of_containers(spans, moves)
    unique = {m.pk: m for m in found}
    return sorted(unique.values(), key=lambda m: (m.at, m.pk), reverse=True)[:most]


def _steps(reader: Actor, cast: Cast) -> Iterable[tuple[int | None, datetime, int | None]]:
    """(piece, instant, place) of each standing movement, oldest first: from what the page has read, where that is all."""
    moves = moves_on_page(reader, cast)
    if len(moves) < MOST_ON_PAGE:
        return [(m.piece_id, m.at, m.to_place_id) for m in reversed(moves) if not m.put_right]
    rows = standing(Movement.objects.filter(cast=cast)).order_by("at", "pk")
    return rows.values_list("piece_id", "at", "to_place_id")


def _line_of(reader: Actor, what: Subject) -> list[tuple[datetime, int | None]]:
    """From which instant it stood where: a piece is where its cast is while it has no place of its own."""
    whole: int | None = None
    own: int | None = None
    line = []
    for piece, at, place in _steps(reader, what.cast):
        if piece is None:
            whole = place
        elif what.piece and piece == what.piece.pk:
            own = place
        else:
            continue
        line.append((at, own or whole))
    return line


def _spans(line: list[tuple[datetime, int | None]]) -> list[Span]:
    ends: list[datetime | None] = [*(at for at, _ in line[1:]), None][: len(line)]
    return [Span(place, at, end) for (at, place), end in zip(line, ends, strict=True) if place is not None]


_UP = (
    "WITH RECURSIVE up(root, id, parent_id, movable) AS ("
    "SELECT id, id, parent_id, movable FROM registry_place WHERE id IN ({}) UNION ALL "
    "SELECT up.root, p.id, p.parent_id, p.movable FROM registry_place p JOIN up ON p.id = up.parent_id WHERE NOT up.movable"
    ") SELECT root, id FROM up WHERE movable"
)


def _in_containers(spans: list[Span]) -> list[Span]:
    """The same spans, in the nearest container that each place is or stands in; those in none are left out."""
    nearest = _nearest({s.place for s in spans})
    return [Span(nearest[s.place], s.begins, s.ends) for s in spans if s.place in nearest]


def _nearest(keys: Iterable[int]) -> dict[int, int]:
    wanted = sorted(keys)
    if not wanted:
        return {}
    with connection.cursor() as cursor:
        cursor.execute(_UP.format(", ".join(["%s"] * len(wanted))), wanted)
        return dict(cursor.fetchall())


def _spans_of_containers(spans: list[Span], moves: list[Any]) -> list[Span]:
    """Where the containers themselves stood in those spans."""
    found = []
    for span in spans:
        mine = sorted((m for m in moves if m.container_id == span.place), key=lambda m: (m.at, m.pk))
        within = [m for m in mine if span.holds(m.at)]
        first = within[0].from_place_id if within else None
        line = [(span.begins, first)] + [(m.at, m.to_place_id) for m in within]
        found += [Span(s.place, s.begins, s.ends or span.ends) for s in _spans(line)]
    return found
