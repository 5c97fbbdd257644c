"""What waits today, which things bear a number, what is done by night."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from catalog.casts.numbers import normalise
from catalog.ground import say
from catalog.ground.asks import Bearer, Duty, bearer_of, due_jobs, todays_work
from catalog.ground.collection import collection, today
from catalog.ground.roles import Actor, may
from catalog.ground.sight import visible_to
from registry.accessions import actions
from registry.accessions.models import Acquisition, Entry, EntryObject, Exit
from registry.accessions.reads import open_objects, refused_still_here, still_lacking

_MOST = 50


@todays_work.answer
def entries_waiting(reader: Actor) -> list[Duty]:
    """Decisions for the keeper, numbers for the registrar, and what came long ago and has no outcome."""
    if not reader.staff or not (
        may(reader, "accession.do") or may(reader, "acquisition.decide") or may(reader, "entry.make")
    ):
        return []
    day, patience = today(), collection().entry_days
    return [duty for t in open_objects(reader, most=_MOST) for duty in _of_object(reader, t, day, patience)]


def _of_object(reader: Actor, thing: EntryObject, day: date, patience: int) -> list[Duty]:
    number, came = thing.cast.number, thing.entry.came_on
    href = f"/casts/{number}/"
    case = getattr(thing.cast, "acquisition", None)
    if thing.state == "proposed" and may(reader, "acquisition.decide", case):
        who = case.proposed_by.person.name if case else ""
        sentence = f"{number} is proposed by {who}. Keep it or refuse it."
        return [Duty(sentence, f"{href}decision/", case.proposed_on if case else came, number=number, act="Decide")]
    if thing.state == "accepted" and may(reader, "accession.do"):
        return [Duty(f"{number} is accepted. Give it its number.", f"{href}accession/", case.decided_on if case else came, number=number, act="Write its line")]  # fmt: skip
    days = (day - came).days
    if thing.state in ("entered", "proposed") and days > patience and may(reader, "entry.make"):
        sentence = f"{number} has waited {say.figure(days)} days for an outcome: {thing.cast.description}"
        return [Duty(sentence, thing.entry.href, came, "late", number, act="Open the entry")]
    return []


@todays_work.answer
def refused_and_still_here(reader: Actor) -> list[Duty]:
    if not may(reader, "exit.write"):
        return []
    return [
        Duty(f"{t.cast.number} was refused and waits to go back.", f"/casts/{t.cast.number}/give-back/", t.entry.came_on, number=t.cast.number, act="Give it back")
        for t in refused_still_here(reader, most=_MOST)
    ]  # fmt: skip


@todays_work.answer
def stated_lacks(reader: Actor) -> list[Duty]:
    """What was stated as lacking when a number was given, as long as it lacks."""
    if not may(reader, "accession.do"):
        return []
    found = []
    for cast, open_ in still_lacking(reader, most=_MOST):
        n = len(open_)
        sentence = f"{cast.number} has its number and still lacks {say.plural(n, 'thing')}: {open_[0].sentence}"
        found.append(Duty(sentence, open_[0].href, weight="soon", number=cast.number, act=open_[0].way))
    return found


@todays_work.answer
def witnesses_wanted(reader: Actor) -> list[Duty]:
    """Decisions that one person took alone and that no witness stands beside yet."""
    if not (reader.alone and may(reader, "acquisition.decide")):
        return []
    rows = visible_to(reader, Acquisition.objects.select_related("cast")).filter(single_handed=True, witness="")
    return [
        Duty(f"{case.cast.number} was decided single-handed. Name an outside witness.", f"/casts/{case.cast.number}/witness/", case.decided_on, "soon", case.cast.number, act="Name one")
        for case in rows.order_by("pk")[:_MOST]
    ]  # fmt: skip


@bearer_of.answer
def entries_and_exits(reader: Actor, text: str) -> list[Bearer]:
    """Entries by their number; exit notes, which lead to what they were written for."""
    ours = collection()
    candidates = normalise(text, ours.code, patterns=(ours.entry_pattern, "X-{year}-{n}"))
    for number in candidates:
        entry = visible_to(reader, Entry.objects.filter(number__iexact=number)).first()
        if entry:
            return [Bearer("entry", entry.number, entry.what, entry.href, entry.pk)]
        note = visible_to(reader, Exit.objects.select_related("cast").filter(number__iexact=number)).first()
        if note:
            return [Bearer("exit note", note.number, note.reason, f"/exits/{note.number}/", note.pk)]
    return []


@due_jobs.answer
def each_night(day: date) -> list[tuple[str, Callable[[], Any]]]:
    """All lines are checked; where the register grew, a checkpoint goes out."""
    return [("check register", actions.nightly_check), ("register checkpoint", actions.nightly_checkpoint)]
