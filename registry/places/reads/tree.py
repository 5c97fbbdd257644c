"""The place tree: which place a text means, its path, what stands below it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from django.db import connection
from django.db.models import Count, QuerySet

from catalog.casts.numbers import normalise
from catalog.ground import say
from catalog.ground.collection import collection
from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.places import rules
from registry.places.models import Place, Placement

_UP = (
    "WITH RECURSIVE up(id, parent_id, d) AS (SELECT id, parent_id, 0 FROM registry_place WHERE id = %s "
    "UNION ALL SELECT p.id, p.parent_id, d + 1 FROM registry_place p JOIN up ON p.id = up.parent_id WHERE d < 50) "
    "SELECT place.* FROM registry_place place JOIN up ON place.id = up.id ORDER BY up.d DESC"
)
_DOWN = (
    "WITH RECURSIVE down(id) AS (SELECT id FROM registry_place WHERE id = %s "
    "UNION SELECT p.id FROM registry_place p JOIN down ON p.parent_id = down.id) SELECT id FROM down"
)
_DOWN_FIXED = _DOWN.replace("p.parent_id = down.id)", "p.parent_id = down.id WHERE NOT p.movable)")
APART = " › "


def places_for(reader: Actor) -> QuerySet[Place]:
    """Places this reader may know of, each with what it stands in."""
    return visible_to(reader, Place.objects.select_related("parent"))


def place_at(reader: Actor, code: str) -> Place:
    """The place of this code, whatever the case. NotFound otherwise."""
    place = places_for(reader).filter(code__iexact=code.strip()).first()
    if place is None:
        raise NotFound(f"“{code[:40]}” is not a place of ours.")
    return place


def place_coded(reader: Actor, text: str) -> Place | None:
    """The place whose code was typed or scanned: `k 12`, `K-12`, its label's address."""
    candidates = normalise(text, collection().code)
    found = {p.code: p for p in places_for(reader).filter(code__in=[c.upper() for c in candidates])}
    return next((found[c.upper()] for c in candidates if c.upper() in found), None)


def place_meant(reader: Actor, words: str) -> Place | None:
    """The open place that a text means: its code, its label's address, its name, or its path (`Bay B, shelf 3`).

    None where there is none; NotFound, with their codes, where several are called so.
    """
    coded = place_coded(reader, words)
    if coded is not None:
        return None if coded.closed_on else coded
    parts = [part.strip().casefold() for part in re.split(r"[›>,/]", words) if part.strip()]
    if not parts:
        return None
    named = places_for(reader).filter(closed_on__isnull=True, name__iexact=parts[-1]).order_by("code")
    found = list(named[:50])
    if len(found) > 1 or len(parts) > 1:
        found = _below(found, parts[:-1])
    if len(found) > 1:
        codes = say.listed([p.code for p in found[:5]], "or")
        raise NotFound(f"{say.capital(say.number_word(len(found)))} places are called {words.strip()}. Write {codes}.")
    return found[0] if found else None


def _below(found: list[Place], above: list[str]) -> list[Place]:
    """Those of the places in whose path all these names stand."""
    path = paths() if above else {}
    return [p for p in found if set(above) <= {n.casefold() for n in path[p.pk].split(APART)}] if above else found


def place_said(reader: Actor, words: str, field: str) -> Place:
    """As `place_meant`, for what a form or the API was sent: a Refusal that names the field where it means no place."""
    try:
        found = place_meant(reader, words) or place_at(reader, words)
    except NotFound as none:
        raise Refusal(Reason(str(none), field, said=words[:60])) from None
    return found


def path_of(place: Place) -> list[Place]:
    """From the outermost place down to this one, in one query."""
    return list(Place.objects.raw(_UP, [place.pk]))


def paths() -> dict[int, str]:
    """`Station › Store › Bay B` for every place, in one query."""
    rows = {p["id"]: p for p in Place.objects.values("id", "parent_id", "name")}
    done: dict[int, str] = {}

    def path(pk: int, depth: int = 0) -> str:
        if pk not in done:
            row = rows[pk]
            above = path(row["parent_id"], depth + 1) + APART if row["parent_id"] and depth < 50 else ""
            done[pk] = above + row["name"]
        return done[pk]

    for pk in rows:
        path(pk)
    return done


def code_paths() -> dict[int, list[str]]:
    """Codes from the outermost place down, of every place, in one query."""
    rows = {pk: (code, parent) for pk, code, parent in Place.objects.values_list("pk", "code", "parent_id")}

    def path(pk: int | None, depth: int = 0) -> list[str]:
        if pk is None or depth > 50:
            return []
        code, parent = rows[pk]
        return [*path(parent, depth + 1), code]

    return {pk: path(pk) for pk in rows}


def within(place: Place, *, fixed: bool = False) -> list[int]:
    """Keys of this place and all places in it, at any depth; with `fixed` without what only stands there for now."""
    with connection.cursor() as cursor:
        cursor.execute(_DOWN_FIXED if fixed else _DOWN, [place.pk])
        return [row[0] for row in cursor.fetchall()]


def within_codes(codes: Iterable[str], *, fixed: bool = False) -> list[int]:
    """Keys of the places of these codes and of all places in them; a code of nothing adds nothing."""
    roots = Place.objects.filter(code__in=[code.strip().upper() for code in codes])
    return [key for place in roots for key in within(place, fixed=fixed)]


def words_of(place: Place) -> str:
    """`shelf 3`, `K-12`, `Museum of the Low Shore`."""
    return rules.place_words(place.code, place.name, place.kind, movable=place.movable)


def where_words(place: Place | None) -> str:
    """`on shelf 3`; `nowhere that is known` for none."""
    if place is None:
        return "nowhere that is known"
    return rules.at_place(place.code, place.name, place.kind, movable=place.movable)


def where_words_long(place: Place | None) -> str:
    """`on shelf 3 in bay B`. The place comes with its parent."""
    if place is None or place.parent is None or place.kind not in ("shelf", "unit", "bench", "side", "wall"):
        return where_words(place)
    within_ = words_of(place.parent)
    return rules.at_place(place.code, place.name, place.kind, movable=place.movable, within=within_)


# the tree as it is drawn


def counts() -> dict[int, int]:
    """How many casts and loose pieces stand in each place itself, in one query."""
    rows = Placement.objects.filter(place__isnull=False).values_list("place_id").annotate(n=Count("pk"))
    return dict(rows)


def all_places(reader: Actor) -> list[Place]:
    """Every place in use, by its key's order; one query."""
    return list(visible_to(reader, Place.objects.filter(closed_on__isnull=True)).order_by("pk"))


def codes_and_names() -> dict[str, str]:
    """`B-3` -> `Shelf 3, B-3`: words for filters, in one query."""
    rows: Iterable[tuple[str, str]] = Place.objects.values_list("code", "name")
    return {code: f"{name}, {code}" for code, name in rows}


class LazyNames(dict[str, str]):
    """Names of places by their codes, read when the first is asked for: a list that shows none asks for none."""

    def get(self, key: str, default: Any = None) -> Any:
        if not self:
            self.update(codes_and_names())
        return super().get(key, default)
