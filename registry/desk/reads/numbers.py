"""Which thing a typed or scanned number leads to, as its reader sees it."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models.functions import Upper

from catalog.casts.numbers import give, normalise, read, sort_text
from catalog.casts.reads import casts_for_list
from catalog.ground.asks import Bearer, bearer_of
from catalog.ground.collection import collection
from catalog.ground.roles import VISITOR, Actor
from registry.desk.rules import near_runs

_LONGEST = 80


def bearers(reader: Actor, text: str) -> list[Bearer]:
    """The things of ours that bear this number, each once. A few queries a room, whatever there is."""
    if not text.strip() or len(text) > _LONGEST:
        return []
    found = {b.href: b for b in bearer_of(reader, text)}
    return list(found.values())


def the_one(found: list[Bearer]) -> Bearer | None:
    """Of the things that bear a number the one that is meant. An object and its entry go by one number: it is the object."""
    things = [b for b in found if b.kind in ("cast", "piece")] if len(found) > 1 else found
    return things[0] if len(things) == 1 else None


def shown_to_visitors(text: str) -> str:
    """Where a code leads whoever is signed out: to the published cast that it is, or that it is of; else nowhere.

    What stands behind a published cast's number is left off unseen, so that nobody learns which pieces there are.
    """
    wanted = [number for typed in _meant(text) for number in _and_what_it_is_of(typed)]
    kept = {number.upper(): number for number in wanted[:12]}
    rows = casts_for_list(VISITOR).annotate(plain=Upper("number")).filter(plain__in=kept)
    shown = {cast.plain: cast.href for cast in rows}
    return next((shown[number] for number in kept if number in shown), "")


def _meant(text: str) -> list[str]:
    ours = collection()
    return normalise(text[:_LONGEST], ours.code, patterns=(ours.accession_pattern, ours.entry_pattern))


def _and_what_it_is_of(number: str) -> list[str]:
    """2016.1.4.2 -> itself, 2016.1.4, 2016.1, 2016."""
    parts = number.split(".")
    return [".".join(parts[:n]) for n in range(len(parts), 0, -1)]


@dataclass(frozen=True)
class NotOurs:
    """A number of our pattern that nothing bears: what it may have been meant for, and the last one given in its year."""

    number: str
    meant: list[str]
    last: str


def not_ours(reader: Actor, text: str) -> NotOurs | None:
    """What is said of a number that nothing bears; None where the text is no number of our pattern."""
    pattern = collection().accession_pattern
    for number in _meant(text):
        if found := read(pattern, number):
            year, n = found
            break
    else:
        return None
    casts = casts_for_list(reader)
    near = [give(pattern, year or 1000, m) for m in near_runs(n)]
    meant = list(casts.filter(number__in=near).order_by("sort").values_list("number", flat=True)[:3])
    of_its_year = casts.filter(year=year).order_by("-sort").values_list("number", flat=True)[:20] if year else []
    last = next((c for c in of_its_year if read(pattern, c)), "")
    return NotOurs(number, meant, last if last and sort_text(last) < sort_text(number) else "")
