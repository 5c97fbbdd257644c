"""What happened to a thing, said to its page, to deeds, to histories, to numbers and to Today."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import Any

from django.utils import timezone

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Standing, Subject, panels, piece_panels, standing_of, what_hinders, what_hinders_any
from catalog.ground import say
from catalog.ground.asks import Bearer, Duty, Event, Panel, bearer_of, history_of, todays_work
from catalog.ground.collection import zone
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor, may
from registry.condition.models import Incident, IncidentSubject
from registry.condition.reads import breakages as broken
from registry.condition.reads import incidents as reads
from registry.condition.rules import incidents as rules
from registry.condition.states.incidents import HOWS

_MOST = 50
_SHOWN = 4
# what cannot be found cannot be lent, hung up or worked on
_NEEDS_IT = frozenset({"lend", "mount", "treat"})


@what_hinders.answer
def what_happened_hinders(subject: Subject, deed: str) -> list[Reason]:
    """What is missing is not lent; what broke or was damaged is not lent until the keeper has closed the incident."""
    return _hinders([subject], deed)


@what_hinders_any.answer
def what_happened_hinders_any(subjects: list[Subject], deed: str) -> list[Reason]:
    return _hinders(subjects, deed)


def _hinders(subjects: list[Subject], deed: str) -> list[Reason]:
    if deed not in _NEEDS_IT:
        return []
    missing = reads.standing_subjects(subjects, reads.still_missing())
    found = [
        _reason(s, rules.missing_words(s.number, s.incident.noticed_on, reads.last_seen(s), deed)) for s in missing
    ]
    if deed == "lend":
        hurt = reads.standing_subjects(subjects, reads.still_open())
        found += [_reason(s, rules.open_words(s.number, s.incident.kind, s.incident.noticed_on)) for s in hurt]
    return found


def _reason(subject: IncidentSubject, sentence: str) -> Reason:
    return Reason(sentence, "", subject.incident.href)


# pages


@panels.answer
def what_happened_to_it(reader: Actor, cast: Cast) -> list[Panel]:
    """The newest incidents of a cast and its pieces, and the two acts."""
    if not may(reader, "record.read"):
        return []
    facts = _shown(reader, reads.of_cast(reader, cast)) | {"href": cast.href, "search": _search(reader, cast, None)}
    facts["open"] = not cast.closed_as
    return [Panel("state", "condition/panel_incidents.html", facts, 30)]


@piece_panels.answer
def what_happened_to_the_piece(reader: Actor, piece: Piece) -> list[Panel]:
    if not may(reader, "record.read"):
        return []
    mine = [i for i in reads.of_cast(reader, piece.cast) if _about(i, piece)]
    facts = _shown(reader, mine) | {"href": piece.href, "search": _search(reader, piece.cast, piece)}
    facts |= {
        "open": piece.present and not piece.cast.closed_as,
        "apart": f"{piece.cast.href}breakage/?piece={piece.suffix}",
    }
    return [Panel("state", "condition/panel_incidents.html", facts, 30)]


def _about(incident: Incident, piece: Piece) -> bool:
    return any(s.piece_id == piece.pk for s in incident.subjects.all())


def _shown(reader: Actor, rows: list[Incident]) -> dict[str, Any]:
    told = [{"row": i, "title": reads.title_of(i)} for i in rows[:_SHOWN]]
    acts = {"may_break": may(reader, "breakage.record"), "may_report": may(reader, "incident.report")}
    return {"incidents": told, "n_more": max(len(rows) - _SHOWN, 0)} | acts


def _search(reader: Actor, cast: Cast, piece: Piece | None) -> Incident | None:
    """The search that goes on for exactly this thing."""
    for i in reads.of_cast(reader, cast):
        mine = any(s.cast_id == cast.pk and s.piece_id == (piece.pk if piece else None) for s in i.subjects.all())
        if mine and _goes_on(i):
            return i
    return None


def _goes_on(incident: Incident) -> bool:
    if incident.kind != "missing" or incident.taken_back_on:
        return False
    found = getattr(incident, "found_by", None)
    return found is None or found.taken_back_on is not None


@standing_of.answer
def standing_by_what_happened(reader: Actor, cast: Cast) -> list[Standing]:
    rows = reads.of_cast(reader, cast)
    told = [Standing(_missing_sentence(i), "harm", rank=10) for i in rows if _goes_on(i)]
    hurt = [i for i in rows if i.kind in ("breakage", "damage") and i.standing == "open"]
    told += [Standing(f"{reads.title_of(i)} on {say.day(i.noticed_on)}.", "wants", ({"label": i.number, "href": i.href, "kind": "plain"},), rank=20) for i in hurt[:1]]  # fmt: skip
    return told[:1]


def _missing_sentence(incident: Incident) -> str:
    (subject, *_) = incident.subjects.all()
    seen = f" Last seen {seen}." if (seen := reads.last_seen(subject)) else ""
    return f"{reads.title_of(incident)} since {say.day(incident.noticed_on)}.{seen}"


# past and numbers


@history_of.answer
def incidents_of(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, (Cast, Piece)):
        return []
    cast = record.cast if isinstance(record, Piece) else record
    rows = [i for i in reads.of_cast(reader, cast) if isinstance(record, Cast) or _about(i, record)]
    return [e for i in rows for e in _events(i)]


def _events(incident: Incident) -> list[Event]:
    at = incident.noticed_at or min(datetime.combine(incident.noticed_on, time(12), tzinfo=zone()), timezone.now())
    how = f" ({dict(HOWS)[incident.how]})" if incident.how and incident.how != "not known" else ""
    late = incident.created_at if incident.created_at - at > timedelta(days=2) else None
    back = " Taken back later." if incident.taken_back_on else ""
    sentence = f"{say.capital(reads.title_of(incident))}{how}.{back}"
    who = str(incident.noticed_by or "")
    told = [Event(at, sentence, "broke" if incident.kind == "breakage" else "exam", who, incident.href, late)]
    if incident.closed_on and incident.closed_by:
        closed = min(datetime.combine(incident.closed_on, time(12), tzinfo=zone()), incident.changed_at)
        told.append(Event(closed, f"{incident.number} closed: {incident.lesson}", "exam", str(incident.closed_by.person), incident.href))  # fmt: skip
    return told


@bearer_of.answer
def incidents_bear_numbers(reader: Actor, text: str) -> list[Bearer]:
    row = reads.incidents(reader).filter(number__iexact=text.strip()[:20]).first() if text.strip()[:2] in ("I-", "i-") else None  # fmt: skip
    return [Bearer("incident", row.number, reads.title_of(row), row.href, row.pk)] if row else []


# Today


@todays_work.answer
def what_is_missing(reader: Actor) -> list[Duty]:
    """It keeps asking until it is found."""
    if not may(reader, "incident.report"):
        return []
    rows = reads.still_missing(reads.incidents(reader)).order_by("noticed_on", "pk")[:_MOST]
    return [
        Duty(f"{_missing_sentence(i)} Is it found again?", f"{i.href}found/", i.noticed_on, "late", reads.numbers_of(i)[0], act="Found again")
        for i in rows
    ]  # fmt: skip


@todays_work.answer
def what_broke_waits(reader: Actor) -> list[Duty]:
    """For who works at the bench: parts to be weighed, fragments to be placed. For the keeper: incidents to close."""
    if not (may(reader, "breakage.record") or may(reader, "incident.decide")):
        return []
    rows = list(reads.with_breakages(reads.still_open(reads.incidents(reader))).order_by("noticed_on", "pk")[:_MOST])
    weights = broken.weights_of([b for i in rows for b in i.breakages.all()])
    return [duty for i in rows for duty in _waits(reader, i, weights)]


def _waits(reader: Actor, incident: Incident, weights: Any) -> list[Duty]:
    told, first = [], reads.numbers_of(incident)[0]
    if may(reader, "breakage.record"):
        if n := len(broken.unweighed(incident, weights)):
            said = f"{say.capital(say.plural(n, 'part'))} of {first} {'waits' if n == 1 else 'wait'} for the balance."
            told.append(Duty(said, f"{incident.href}masses/", incident.noticed_on, "waits", first, act="Weigh"))
        if n := broken.n_loose(incident):
            said = f"{say.capital(say.plural(n, 'fragment'))} of {incident.number} {'waits' if n == 1 else 'wait'} to be placed."
            told.append(Duty(said, f"{incident.href}loose/", incident.noticed_on, "waits", first, act="Place them"))
    if may(reader, "incident.decide", incident) and not broken.n_loose(incident):
        said = f"{say.capital(reads.title_of(incident))}. Decide what follows, and close it."
        told.append(Duty(said, f"{incident.href}decision/", incident.noticed_on, "waits", first, act="Decide"))
    return told
