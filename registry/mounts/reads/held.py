"""Which mounts hold a thing, and which places are closed below one."""

from __future__ import annotations

from collections.abc import Iterable

from django.db.models import Q

from catalog.casts.subject import Subject
from registry.mounts.models import Mount, Mounted
from registry.places.models import Place, Placement
from registry.places.reads import path_of, within


def mounts_of_any(subjects: Iterable[Subject]) -> list[tuple[Subject, Mount]]:
    """The mounts that any of these things is on: itself, by its cast, or by a piece of it. At most two queries."""
    asked = list(subjects)
    rows = Mounted.objects.select_related("mount__closes", "cast", "piece__cast")
    standing = list(rows.filter(off_on__isnull=True, cast__in={s.cast.pk for s in asked}).order_by("pk"))
    if not standing:
        return []
    apart = _apart({s.piece.pk for s in asked if s.piece})
    found = []
    for subject in asked:
        for row in standing:
            if row.cast_id == subject.cast.pk and _holds(row, subject, apart):
                found.append((subject, row.mount))
    return found


def _holds(row: Mounted, subject: Subject, apart: set[int]) -> bool:
    if subject.piece is None:
        return True
    return row.piece_id == subject.piece.pk or (row.piece_id is None and subject.piece.pk not in apart)


def _apart(pieces: set[int]) -> set[int]:
    """Those of the pieces that stand somewhere else than their cast."""
    if not pieces:
        return set()
    rows = Placement.objects.filter(piece__in=pieces, place__isnull=False).values_list(
        "piece_id", "cast_id", "place_id"
    )
    own = list(rows)
    whole = dict(
        Placement.objects.filter(cast__in={cast for _, cast, _ in own}, piece__isnull=True).values_list(
            "cast_id", "place_id"
        )
    )
    return {piece for piece, cast, place in own if whole.get(cast) != place}


def closing() -> list[Mount]:
    """Mounts that are closed because a support failed; one query."""
    return list(Mount.objects.select_related("closes", "place").filter(closed_on__isnull=False).order_by("sort"))


def closed_places(place: Place) -> list[Mount]:
    """Closed mounts that close this place, or that are it, or in which it stands."""
    shut = closing()
    if not shut:
        return []
    path = {p.pk for p in path_of(place)}
    return [m for m in shut if (m.closes_id in path) or (m.place_id in path)]


def standing_in_closed(subjects: Iterable[Subject]) -> list[tuple[Subject, Mount]]:
    """Which of these things stand where a closed mount closes the space."""
    shut = [m for m in closing() if m.closes is not None]
    if not shut:
        return []
    asked = list(subjects)
    keys = {m.pk: set(within(m.closes)) for m in shut if m.closes}
    rows = Placement.objects.filter(cast__in={s.cast.pk for s in asked}).filter(Q(place__isnull=False))
    places: dict[tuple[int, int | None], int | None] = {
        (c, p): place for c, p, place in rows.values_list("cast_id", "piece_id", "place_id")
    }
    found = []
    for subject in asked:
        own = places.get((subject.cast.pk, subject.piece.pk)) if subject.piece else None
        where = own or places.get((subject.cast.pk, None))
        found += [(subject, m) for m in shut if where in keys[m.pk]]
    return found
