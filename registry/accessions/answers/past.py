"""What happened to a cast or an entry, as far as this room knows it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time
from typing import Any

from catalog.casts.models import Cast
from catalog.ground import say
from catalog.ground.asks import Event, history_of
from catalog.ground.collection import zone
from catalog.ground.past import as_events, changes_of
from catalog.ground.roles import Actor
from registry.accessions.models import Acquisition, Entry, Exit, LedgerLine, Title
from registry.accessions.reads import decider_of, line_views
from registry.accessions.reads.lacking import for_numbering_at_hand
from registry.accessions.reads.told import lines_of, titles_of

LABELS = {
    "what": "What came",
    "how": "How it came",
    "came_on": "Came on",
    "n_parts": "Number of parts",
    "parts_are": "The parts are",
    "from_person": "From",
    "from_words": "From, in words",
    "owner": "Owner",
    "owner_words": "Owner, in words",
    "excavation": "Excavation",
    "back_by": "To go back by",
    "note": "Notes",
}


def noon(day: date) -> datetime:
    """An instant for a day whose hour nobody wrote down."""
    return datetime.combine(day, time(12), tzinfo=zone()).astimezone(UTC)


def _learnt(day: date, written: datetime) -> datetime | None:
    """When it was written, where that was on a later day than it happened."""
    return written if written.astimezone(zone()).date() > day else None


@history_of.answer
def of_a_cast(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Cast):
        return []
    thing = getattr(for_numbering_at_hand(record), "entry_object", None)
    found = [_came(thing.entry)] if thing else []
    return [*found, *_of_casts([record.pk], titles_of(record), lines_of(record))]


@history_of.answer
def of_an_entry(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Entry):
        return []
    keys = list(record.objects_of.values_list("cast_id", flat=True))
    changes = as_events([c for c in changes_of(record, LABELS, most=30) if not c.first], "Entry")
    titles = Title.objects.select_related("cast", "said_by", "document", "written_by__person").filter(cast__in=keys)
    lines = LedgerLine.objects.select_related("cast", "source").filter(cast__in=keys).order_by("n")
    return [_came(record), *changes, *_of_casts(keys, titles, list(lines), with_number=len(keys) > 1)]


def _came(entry: Entry) -> Event:
    whom = entry.from_person.name if entry.from_person else entry.from_words
    sentence = f"Brought in as {entry.number}{f', from {whom}' if whom else ''}: {entry.get_how_display().lower()}."
    who = str(entry.taken_in_by or "")
    same_day = entry.created_at.astimezone(zone()).date() == entry.came_on
    at = entry.created_at if same_day else noon(entry.came_on)
    return Event(at, sentence, "reg", who, entry.href, _learnt(entry.came_on, entry.created_at))


def _of_casts(
    keys: list[int], titles: Iterable[Title], rows: list[LedgerLine], *, with_number: bool = False
) -> list[Event]:
    """Cases, titles, lines and exits of these casts: one query each."""
    cases = Acquisition.objects.select_related("cast", "proposed_by__person", "decided_by__person").filter(
        cast__in=keys
    )
    exits = Exit.objects.select_related("cast", "to_person", "by").filter(cast__in=keys)
    found: list[Event] = []
    for case in cases:
        found += _of_case(case, _before(case.cast, with_number))
    for title in titles:
        words = title.paper_words or (str(title.document) if title.document else title.ground)
        told = f"{_before(title.cast, with_number)}Title is {title.state}{f': {words}' if words else ''}."
        found.append(Event(_at(title.on, title.written_at), told, "reg", _who(title), "", _learnt(title.on, title.written_at)))  # fmt: skip
    for out in exits:
        to = out.to_person or out.to_words
        told = f"{_before(out.cast, with_number)}Given to {to}: {out.reason} ({out.number})."
        found.append(Event(_at(out.on, out.created_at), told, "move", str(out.by or ""), "", _learnt(out.on, out.created_at)))  # fmt: skip
    for line, view in zip(rows, line_views(rows), strict=True):
        told = f"Register line {view.n}{f': {view.number}' if view.number else ''}. {view.words}"
        found.append(Event(line.written_at, told, "reg", view.who, view.href))
    return found


def _who(title: Title) -> str:
    """Who said so, else who wrote it down."""
    return str(title.said_by or (title.written_by.person if title.written_by else ""))


def _before(cast: Cast, with_number: bool) -> str:
    return f"{cast.number}: " if with_number else ""


def _at(day: date, written: datetime) -> datetime:
    return written if written.astimezone(zone()).date() == day else noon(day)


def _of_case(case: Acquisition, number: str) -> list[Event]:
    who = case.proposed_by.person.name
    found = []
    if not case.by_standing_decision:
        told = f"{number}Proposed for the collection, as {case.get_way_display()}."
        found.append(Event(_at(case.proposed_on, case.created_at), told, "reg", who))
    if case.decision and case.decided_on:
        how = " by the standing decision on own excavations" if case.by_standing_decision else ""
        alone = ", single-handed" if case.single_handed else ""
        minute = f" ({case.minute})" if case.minute else ""
        told = f"{number}{say.capital(case.decision)}{how}{alone}{minute}."
        at = case.changed_at if case.by_standing_decision else _at(case.decided_on, case.changed_at)
        found.append(Event(at, told, "reg", decider_of(case)))
    return found
