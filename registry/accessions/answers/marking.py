"""The number on the object: what the cast's page shows of it, what waits, what happened; and the papers given out about it."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from urllib.parse import urlencode

from catalog.casts.models import Cast
from catalog.casts.subject import panels
from catalog.ground import say
from catalog.ground.asks import Bearer, Duty, Event, Panel, bearer_of, history_of, todays_work
from catalog.ground.collection import local
from catalog.ground.keeping import paper_at, papers_about
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor, may
from registry.accessions.answers.past import noon
from registry.accessions.models import Marking
from registry.accessions.reads.told import markings_at_hand, papers_offered, unmarked

_EACH = 8


@panels.answer
def the_number_on_it(reader: Actor, cast: Cast) -> list[Panel]:
    """Whether the number is on the object, how and where; which papers about it were given out."""
    if not may(reader, "record.read"):
        return []
    made = markings_at_hand(reader, cast)
    standing = [m for m in made if m.gone_on is None]
    facts = {
        "cast": cast,
        "standing": standing,
        "bears": any(_bears(m, cast) for m in standing),
        "gone": [m for m in made if m.gone_on],
        "papers": list(papers_about(reader, cast.number)),
        "offered": papers_offered(cast) if may(reader, "acquisition.propose") else [],
        "can_mark": may(reader, "marking.record") and not cast.closed_as,
    }
    return [Panel("is", "accessions/panel_marking.html", facts, 60)]


def _bears(marking: Marking, cast: Cast) -> bool:
    return marking.number == cast.number or marking.number.startswith(f"{cast.number}.")


@todays_work.answer
def not_marked_yet(reader: Actor) -> list[Duty]:
    """Casts that have their number and do not bear it: the first ones by name, the rest in one line."""
    if not may(reader, "marking.record"):
        return []
    rows = unmarked(reader)
    first = list(rows[: _EACH + 1])
    duties = [
        Duty(
            f"{cast.number} has its number but does not bear it yet.",
            f"{cast.href}markings/new/",
            cast.accession.on or local(cast.accession.written_at).date(),
            number=cast.number,
            act="Write that it is on",
        )
        for cast in first[:_EACH]
    ]
    if len(first) > _EACH:
        rest = list(rows.values_list("number", flat=True)[_EACH : _EACH + 300])
        more = f"{say.capital(say.plural(len(rest), 'more cast'))} do not bear their number."
        duties.append(Duty(more, f"/labels/?{urlencode({'of': ','.join(rest)})}", act="Print their tags"))
    return duties


@history_of.answer
def marked_and_gone(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Cast):
        return []
    found = []
    for marking in markings_at_hand(reader, record):
        where = f", {marking.where}" if marking.where else ""
        who = str(marking.by or "")
        said = f"Number {marking.number} put on: {marking.method}{where}."
        found.append(Event(_at(marking), said, "reg", who, learnt_at=_learnt(marking)))
        if marking.gone_on:
            why = f"The number is gone from it: {marking.gone_why}."
            found.append(Event(noon(marking.gone_on), why, "break"))
    return found


def _at(marking: Marking) -> datetime:
    """The hour at which it was written, where that was on the day itself; noon for an earlier day."""
    return noon(marking.on) if _learnt(marking) else marking.created_at


def _learnt(marking: Marking) -> datetime | None:
    """When it was written, where that was on a later day than it was done."""
    return marking.created_at if local(marking.created_at).date() > marking.on else None


@bearer_of.answer
def papers_given_out(reader: Actor, text: str) -> list[Bearer]:
    """A paper by its own number (P-2026-5)."""
    number = text.strip().rstrip("/").rpartition("/")[2].upper()
    try:
        kept = paper_at(reader, number) if number.startswith("P-") else None
    except NotFound:
        kept = None
    return [Bearer("paper", kept.number, kept.title, f"/papers/{kept.number}.pdf", kept.pk)] if kept else []
