"""Writing an incident down, deciding it, taking it back; what is missing and what is found again."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from catalog.casts.actions import hold_cast
from catalog.casts.actions.presence import set_missing
from catalog.casts.subject import Subject
from catalog.ground.acting import action, locked, store, store_many, tell
from catalog.ground.collection import today
from catalog.ground.numbers import next_number
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import Actor, demand
from catalog.media.actions import keep_photograph
from registry.condition.models import Incident, IncidentPhotograph, IncidentSubject
from registry.condition.reads import incidents as reads
from registry.condition.rules import incidents as rules
from registry.condition.said.incidents import DecisionSaid, FoundSaid, IncidentSaid
from registry.places.actions import move
from registry.places.reads import me


def write_incident(actor: Actor, kind: str, said: IncidentSaid, things: Iterable[Subject]) -> Incident:
    """The incident under its number, with its things, where they were and in whose hands. Call it inside an action."""
    about, at, year = list(things), reads.noticed_instant(said), today().year
    n = next_number(f"incident {year}")
    incident = Incident(number=f"I-{year}-{n}", year=year, n=n, kind=kind, noticed_on=said.noticed_on or today())
    incident.noticed_at = at if said.noticed_on is None else None
    incident.noticed_by = said.noticed_by or me(actor)
    incident.how, incident.happened_on = said.how, said.happened_on
    for name in ("note", "measures", "told", "searched"):
        setattr(incident, name, getattr(said, name).strip())
    store(incident)
    store_many(
        [IncidentSubject(incident=incident, cast=s.cast, piece=s.piece, **reads.stood_and_held(s, at)) for s in about]
    )
    for upload in said.photographs:
        picture = keep_photograph(actor, upload, cast=about[0].cast, piece=about[0].piece, caption=_caption(incident))
        store(IncidentPhotograph(incident=incident, photograph=picture))
    tell(incident.number, incident=kind)
    return incident


def _caption(incident: Incident) -> str:
    return f"{incident.get_kind_display().capitalize()}, {incident.number}"


@action("incident.report")
def report_missing(actor: Actor, what: Subject, said: IncidentSaid) -> Incident:
    """A thing cannot be found: it is not lent, and Today keeps asking."""
    hold_cast(what.cast.pk)
    thing = reads.thing_of(what, to_break=False)
    refuse_if(rules.wrong_incident(said, [thing], today=today()), Refusal)
    refuse_if(rules.hinders_breaking(thing, "what"))
    if already := reads.missing_of(what):
        raise Refusal(
            Reason(f"{what} is looked for since {already.noticed_on:%-d %B %Y}.", "what", already.href, str(what))
        )
    incident = write_incident(actor, "missing", said, [what])
    if what.piece:
        set_missing(actor, what.piece, incident.noticed_on)
    return incident


@action("incident.report")
def report_found(actor: Actor, missing_pk: int, said: FoundSaid) -> Incident:
    """What was missing is here again: how it is known, and where it is now."""
    search = locked(Incident, pk=missing_pk)
    if search.kind != "missing" or not reads.still_missing().filter(pk=search.pk).exists():
        raise Refusal(Reason("Nobody is looking for it any more.", "", search.href))
    subject = search.subjects.select_related("cast", "piece__cast").get()
    what = Subject(subject.cast, subject.piece)
    hold_cast(what.cast.pk)
    refuse_if(_wrong_found(said, what, search), Refusal)
    note = "\n".join(t for t in (f"Known by: {said.known_by.strip()}", said.incident.note.strip()) if t)
    incident = write_incident(actor, "found", replace(said.incident, note=note), [what])
    incident.finds = search
    store(incident)
    if what.piece:
        set_missing(actor, what.piece, None)
    if said.place is not None:
        demand(actor, "move.do")
        _bring(actor, what, said, incident)
    return incident


def _wrong_found(said: FoundSaid, what: Subject, search: Incident) -> list[Reason]:
    found = rules.wrong_incident(said.incident, [reads.thing_of(what, to_break=False)], today=today())
    on = said.incident.noticed_on
    if on and on < search.noticed_on:
        found.append(
            Reason("It was not missing yet on that day. Write a later date.", "noticed_on", said=on.isoformat())
        )
    if not said.known_by.strip():
        sentence = "Write how you know that it is this one: its marks, its mass, its break faces."
        found.append(Reason(sentence, "known_by"))
    return found


def _bring(actor: Actor, what: Subject, said: FoundSaid, incident: Incident) -> None:
    """Where it was found is where it is now, unless it stood there all the time on paper."""
    at = reads.noticed_instant(said.incident)
    if reads.stood_and_held(what, at)["place"] != said.place:
        move(actor, what, said.place, because=f"found again, {incident.number}", at=at)


@action("incident.decide")
def decide_incident(actor: Actor, pk: int, said: DecisionSaid, *, expected_version: int | None = None) -> Incident:
    """The keeper closes it: claim, treatment, what is learnt. Another person than who recorded it."""
    incident = locked(Incident, expected_version, pk=pk)
    demand(actor, "incident.decide", incident)
    loose = getattr(incident, "loose", None)
    left = loose.n if loose else 0
    refuse_if(rules.hinders_deciding(kind=incident.kind, standing=incident.standing, loose_n=left))
    incident.claim, incident.treatment_wanted, incident.lesson = said.claim, said.treatment_wanted, said.lesson.strip()
    incident.closed_on, incident.closed_by_id = today(), actor.account_id
    if incident.created_by_id == actor.account_id:
        incident.single_handed, incident.witness = True, said.witness or actor.alone_before
    return store(incident)
