"""Recording a breakage: bodies, joins and fragments of one incident in one act; weighing afterwards; taking it back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from catalog.casts.actions import hold_cast
from catalog.casts.actions.breaking import Broken, Part, break_piece, damage_body, take_back_breaking
from catalog.casts.actions.joins import break_joins
from catalog.casts.actions.presence import (
    break_into_unknown,
    holds_again,
    place_fragments,
    set_missing,
    undo_damage,
    whole_again,
)
from catalog.casts.actions.weighing import set_mass
from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Subject
from catalog.ground.acting import action, locked, store, store_many
from catalog.ground.collection import today
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import REGISTRAR, Actor
from registry.condition.actions.incidents import write_incident
from registry.condition.models import Breakage, BreakagePart, FailedJoin, Incident, LooseLot
from registry.condition.reads import breakages as broken
from registry.condition.reads import incidents as reads
from registry.condition.rules import incidents as rules
from registry.condition.said.incidents import BodySaid, BreakageSaid, LooseSaid, PartSaid
from registry.places.reads import me


@dataclass(frozen=True)
class Recorded:
    """What was written: the incident, what broke in it, and what follows, in sentences."""

    incident: Incident
    breakages: list[Breakage]
    consequences: list[str]


@action("breakage.record")
def record_breakage(actor: Actor, said: BreakageSaid) -> Recorded:
    """One incident in which bodies broke, joins came apart, fragments fell that nobody can place yet."""
    said = _fresh(said)
    things = [reads.thing_of(b.subject) for b in said.bodies]
    refuse_if([r for t in things for r in rules.hinders_breaking(t)])
    refuse_if(rules.wrong_incident(said.incident, things, today=today()) + rules.wrong_bodies(said, things), Refusal)
    kind = "damage" if said.bodies and not said.joins and all(b.one_body for b in said.bodies) else "breakage"
    about = list({str(s): s for s in [*(b.subject for b in said.bodies), *_joined(said.joins)]}.values())
    incident = write_incident(actor, kind, said.incident, about)
    done = [_break(actor, incident, body) for body in said.bodies]
    told = [line for _, lines in done for line in lines]
    if said.joins:
        told += _fail(actor, incident, said)
    if said.loose:
        told.append(_keep_loose(incident, said.loose))
    return Recorded(incident, [b for b, _ in done], told)


def _fresh(said: BreakageSaid) -> BreakageSaid:
    """The same with its casts held and its pieces as they stand now; casts are held in one order, so that nobody waits for ever."""
    keys = {b.subject.cast.pk for b in said.bodies} | {j.cast_id for j in said.joins}
    casts: dict[int, Cast] = {pk: hold_cast(pk) for pk in sorted(keys)}
    bodies = []
    for body in said.bodies:
        piece = body.subject.piece and Piece.objects.select_related("cast").get(pk=body.subject.piece.pk)
        bodies.append(replace(body, subject=Subject(casts[body.subject.cast.pk], piece)))
    return replace(said, bodies=tuple(bodies))


def _joined(joins: tuple[Any, ...]) -> list[Subject]:
    ends = [face.piece for join in joins for face in (join.face_a, join.face_b)]
    return [Subject(piece.cast, piece) for piece in ends]


def _break(actor: Actor, incident: Incident, body: BodySaid) -> tuple[Breakage, list[str]]:
    subject, before = body.subject, body.subject.piece or body.subject.cast
    breakage = Breakage(incident=incident, cast=subject.cast, piece=subject.piece, lost_g=body.lost_g)
    breakage.mass_before_g, breakage.mass_before_u_g = before.mass_g, before.mass_u_g
    breakage.mass_before_state = before.mass_state
    breakage.way = "one body" if body.one_body else "parts" if body.parts else "not known"
    breakage.crumbs_g, breakage.verdict = body.crumbs_g, "no verdict yet"
    told: list[str] = []
    children: list[Piece] = []
    if breakage.way == "not known":
        break_into_unknown(actor, subject)
    else:
        done = _damage(actor, body) if body.one_body else _parted(actor, body)
        children, told, sums = done.children, [*done.consequences, done.balance.sentence], done.balance
        breakage.crumbs, breakage.verdict = done.crumbs, sums.verdict
        breakage.difference_g, breakage.difference_u_g = sums.difference_g, sums.u_g
    told = [rules.became(str(subject), [p.number for p in children], breakage.way), *filter(None, told)]
    breakage.consequences = "\n".join(told)
    store(breakage)
    if breakage.way != "not known":
        _keep_parts(breakage, body, children)
    return breakage, told


def _damage(actor: Actor, body: BodySaid) -> Broken:
    after = _part(body.parts[0]) if body.parts and body.parts[0].mass_g is not None else None
    return damage_body(
        actor, body.subject, mass_after=after, crumbs=_crumbs(body), n_crumbs=body.n_crumbs, lost_g=body.lost_g
    )


def _parted(actor: Actor, body: BodySaid) -> Broken:
    """What is counted from 1 by people is counted from 0 there."""
    return break_piece(
        actor,
        body.subject,
        [_part(p) for p in body.parts],
        crumbs=_crumbs(body),
        n_crumbs=body.n_crumbs,
        lost_g=body.lost_g,
        faces_to={letter: n - 1 for letter, n in body.faces_to.items()},
        fits=[(a - 1, b - 1) for a, b in body.fits],
    )


def _crumbs(body: BodySaid) -> Part | None:
    return Part(body.crumbs_g) if body.crumbs_g else None


def _part(said: PartSaid) -> Part:
    return Part(said.mass_g, said.mass_u_g, said.mass_state, said.kind, said.note)


def _keep_parts(breakage: Breakage, body: BodySaid, children: list[Piece]) -> None:
    bodies: list[Piece | None] = [breakage.piece] if body.one_body else list(children)
    said = body.parts or (PartSaid(),) * len(bodies)
    store_many(
        [
            BreakagePart(breakage=breakage, piece=piece, mass_g=p.mass_g, mass_u_g=p.mass_u_g, mass_state=p.mass_state)
            for piece, p in zip(bodies, said, strict=True)
        ]
    )


def _fail(actor: Actor, incident: Incident, said: BreakageSaid) -> list[str]:
    before = {join.pk: join.state for join in said.joins}
    failed = break_joins(actor, list(said.joins), incident.noticed_on, said.incident.noticed_by or me(actor))
    store_many([FailedJoin(incident=incident, join=join, state_before=before[join.pk]) for join in failed])
    return [f"The join of {join} no longer holds." for join in said.joins]


def _keep_loose(incident: Incident, said: LooseSaid) -> str:
    lot = LooseLot(incident=incident, n=said.n, n_first=said.n, mass_g=said.mass_g, mass_first_g=said.mass_g)
    lot.mass_state, lot.note = said.mass_state, said.note.strip()
    store(lot)
    return rules.loose_words(lot.n, lot.mass_g)


@action("breakage.record")
def weigh_parts(actor: Actor, incident_pk: int, masses: dict[int, tuple[Decimal, Decimal | None]], *, state: str = "") -> Incident:  # fmt: skip
    """Masses of parts weighed after the breakage: key of the piece -> mass and its uncertainty, g."""
    incident = locked(Incident, pk=incident_pk)
    refuse_if(
        [r for pk, (mass_g, _) in masses.items() for r in rules.wrong_mass(mass_g, f"mass_{pk}", "A part")], Refusal
    )
    parts = BreakagePart.objects.filter(breakage__incident=incident, piece__in=masses).select_related("piece__cast")
    theirs = {p.piece_id: p.piece for p in parts if p.piece}
    if strangers := set(masses) - set(theirs):
        raise Refusal(Reason("This piece did not break in this incident.", f"mass_{min(strangers)}"))
    for pk, (mass_g, u_g) in masses.items():
        set_mass(actor, Subject(theirs[pk].cast, theirs[pk]), mass_g, u_g=u_g, state=state)
    return incident


@action("breakage.record")
def place_loose(actor: Actor, incident_pk: int, of: Subject, parts: Sequence[PartSaid]) -> list[Piece]:
    """Some of the loose fragments turn out to be of this broken thing: they get its next numbers and leave the lot."""
    incident = locked(Incident, pk=incident_pk)
    lot = LooseLot.objects.select_for_update(no_key=True).filter(incident=incident).first()
    weighed = sum((p.mass_g for p in parts if p.mass_g is not None), Decimal(0))
    n, mass_g = (lot.n, lot.mass_g) if lot else (0, None)
    breakage = Breakage.objects.filter(incident=incident, cast=of.cast, piece=of.piece).first()
    here = breakage is not None
    refuse_if(rules.hinders_placing(str(of), len(parts), weighed, n=n, mass_g=mass_g, broke_here=here), Refusal)
    refuse_if([r for i, p in enumerate(parts) for r in rules.wrong_mass(p.mass_g, f"mass_{i + 1}", "A part")], Refusal)
    assert lot is not None
    assert breakage is not None
    said = [{"mass_g": p.mass_g, "mass_u_g": p.mass_u_g, "mass_state": p.mass_state or lot.mass_state} for p in parts]
    made = place_fragments(actor, of, said)
    _keep_parts(breakage, BodySaid(of, tuple(parts)), made)
    lot.n -= len(made)
    if lot.mass_g is not None:
        lot.mass_g = lot.mass_g - weighed if all(p.mass_g is not None for p in parts) else None
    store(lot)
    return made


@action("breakage.take_back")
def take_back_incident(actor: Actor, pk: int, why: str, *, expected_version: int | None = None) -> Incident:
    """It was recorded wrongly: what broke is whole again, while nothing has been built on it. The number stays, taken back."""
    incident = locked(Incident, expected_version, pk=pk)
    theirs = incident.created_by_id == actor.account_id or REGISTRAR in actor.roles
    later = broken.built_on(incident)
    state = {"taken_back": incident.taken_back_on is not None, "closed": incident.closed_on is not None}
    refuse_if(rules.hinders_taking_back(**state, is_theirs=theirs, later=later))
    if not why.strip():
        raise Refusal(Reason("Write what was wrong with it.", "why"))
    _mend(actor, incident)
    incident.taken_back_on, incident.taken_back_by_id = today(), actor.account_id
    incident.taken_back_why = why.strip()[:300]
    return store(incident)


def _mend(actor: Actor, incident: Incident) -> None:
    """Everything that recording it did is undone, the last first."""
    for failed in incident.failed_joins.select_related("join"):
        holds_again(actor, failed.join, failed.state_before)
    for b in incident.breakages.select_related("cast", "piece__cast", "crumbs").order_by("-pk"):
        what = Subject(b.cast, b.piece)
        if b.way == "one body":
            before = {"mass_g": b.mass_before_g, "u_g": b.mass_before_u_g, "state": b.mass_before_state}
            undo_damage(actor, what, **before, crumbs=b.crumbs, why="the damage was recorded wrongly")
        elif b.parts.exists():
            take_back_breaking(actor, what)
        else:
            whole_again(actor, what)
    subjects = incident.subjects.select_related("piece__cast")
    if incident.kind in ("missing", "found"):
        since = incident.finds.noticed_on if incident.finds else None
        for subject in subjects:
            if subject.piece:
                set_missing(actor, subject.piece, since)
