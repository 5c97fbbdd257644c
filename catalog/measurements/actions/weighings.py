"""A body or a lot of crumbs is weighed; a balance sends what it reads."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.utils import timezone

from catalog.casts.actions import set_mass
from catalog.casts.actions.pieces import hold_subject
from catalog.casts.models import CrumbLot
from catalog.casts.reads.pieces import why_gone
from catalog.casts.subject import Subject
from catalog.ground.acting import action, locked, store
from catalog.ground.collection import local
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.measurements import budget, reads, rules
from catalog.measurements.models import BalanceReading, Instrument, Measurement
from catalog.people.models import Person


@dataclass(frozen=True)
class _Said:
    """One weighing as it was said. `mass_g` is net, `tare_g` taken off already."""

    mass_g: Decimal
    u_g: Decimal | None
    state: str
    at: datetime
    by: Person | None
    instrument: Instrument | None
    key: str
    tare_g: Decimal | None
    tare_of: str
    note: str


@action("measurement.post")
def weigh(
    actor: Actor,
    subject: Subject,
    mass_g: Decimal,
    *,
    u_g: Decimal | None = None,
    state: str = "",
    at: datetime | None = None,
    by: Person | None = None,
    instrument: Instrument | None = None,
    key: str = "",
    tare_g: Decimal | None = None,
    tare_of: str = "",
    replaces: Measurement | None = None,
    note: str = "",
) -> Measurement:
    """A cast or piece was weighed. The latest weighing is the mass that stands; a reading that comes again is the same one.

    `u_g` None: from the balance's budget. `replaces`: the earlier value was a mistake; without it both stand.
    """
    held = hold_subject(subject)
    said = _Said(mass_g, u_g, state, at or timezone.now(), by, instrument, key, tare_g, tare_of, note)
    if there := _kept_already(said, str(held)):
        return there
    if held.piece and not held.piece.present:
        raise Hindered(Reason(why_gone(held.piece), "of", held.piece.href))
    _refuse_wrong(said, held)
    if replaces is not None:
        _refuse_replaced(replaces, held)
    made = store(_measurement(said, cast=held.cast, piece=held.piece, replaces=replaces))
    if reads.newest_mass(held) == made.pk:
        set_mass(actor, held, made.value, u_g=made.u, state=state)
    return made


def _kept_already(said: _Said, meant_for: str) -> Measurement | None:
    """The measurement that this very reading made before. A reading kept for another thing is refused."""
    if not (said.instrument and said.key):
        return None
    rows = Measurement.objects.select_related("cast", "piece__cast", "crumbs", "replaced_by")
    there = rows.filter(instrument=said.instrument, key=said.key).first()
    if there:
        kept_for = str(there.thing)
        refuse_if(rules.hinders_repeat(str(said.instrument), kept_for=kept_for, meant_for=meant_for))
    return there


def _refuse_wrong(said: _Said, held: Subject) -> None:
    dig = held.cast.excavation
    facts = rules.WeighingFacts(
        said.mass_g,
        said.at,
        local(said.at).date(),
        timezone.now(),
        state=said.state,
        tare_g=said.tare_g,
        u_g=said.u_g,
        dug=dig.dug_earliest if dig else None,
        too_much_for=_overloaded(said),
    )
    refuse_if(rules.hinders_weighing(facts), Refusal)


def _overloaded(said: _Said) -> str:
    balance = reads.balance_of(said.instrument, local(said.at).date()) if said.instrument else None
    if balance and budget.over_load(balance, said.mass_g + (said.tare_g or 0)):
        return str(said.instrument)
    return ""


def _refuse_replaced(old: Measurement, held: Subject) -> None:
    if (old.cast_id, old.piece_id) != (held.cast.pk, held.piece.pk if held.piece else None):
        raise Refusal(Reason(f"That weighing is not of {held}.", "replaces"))
    if Measurement.objects.filter(replaces=old).exists():
        raise Hindered(Reason("Another weighing replaces that one already.", "replaces"))


def _measurement(said: _Said, **of: object) -> Measurement:
    u, flags = _width(said)
    return Measurement(
        quantity="mass",
        value=said.mass_g,
        unit="g",
        u=u,
        flags="; ".join(flags)[:300],
        state=said.state,
        instrument=said.instrument,
        key=said.key,
        at=said.at,
        by=said.by,
        tare=said.tare_g,
        tare_of=said.tare_of,
        note=said.note,
        **of,
    )


def _width(said: _Said) -> tuple[Decimal | None, list[str]]:
    """How far it may be off: as it was said, else by the balance. Whether the balance was in date stands beside it."""
    if said.instrument is None:
        return said.u_g, []
    day = local(said.at).date()
    word = reads.in_date(said.instrument, day)
    flags = [word] if word else []
    balance = reads.balance_of(said.instrument, day)
    if said.u_g is not None or balance is None:
        return said.u_g, flags
    found = budget.width(balance, said.mass_g, tared=bool(said.tare_g))
    return found.u_g, [*found.flags, *flags]


@action("tray.enter")
def weigh_crumbs(
    actor: Actor,
    lot: CrumbLot,
    mass_g: Decimal,
    *,
    n: int | None = None,
    state: str = "",
    at: datetime | None = None,
    by: Person | None = None,
    instrument: Instrument | None = None,
    key: str = "",
) -> Measurement:
    """A lot of crumbs on the balance again: what it weighs now, and how many there are where they were counted."""
    cast = hold_subject(Subject(lot.cast)).cast
    held = locked(CrumbLot, pk=lot.pk)
    said = _Said(mass_g, None, state, at or timezone.now(), by, instrument, key, None, "", "")
    if there := _kept_already(said, str(held)):
        return there
    _refuse_wrong(said, Subject(cast))
    if n is not None and not 0 < n <= 100_000:
        raise Refusal(Reason("Count the crumbs: one or more.", "n", said=str(n)))
    made = store(_measurement(said, cast=cast, piece=held.piece, crumbs=held))
    held.n, held.mass_g, held.mass_u_g, held.mass_state = n or held.n, mass_g, made.u, state
    store(held)
    return made


@action("measurement.post")
def keep_reading(
    actor: Actor, instrument: Instrument, key: str, mass_g: Decimal, *, at: datetime | None = None
) -> BalanceReading:
    """What a balance reads and sends; it waits for the row of an open tray. Sent twice it is one."""
    held = locked(Instrument, pk=instrument.pk)
    there = BalanceReading.objects.filter(instrument=held, key=key).first()
    if there:
        return there
    now = timezone.now()
    seen = at or now
    facts = rules.WeighingFacts(mass_g, seen, local(seen).date(), now)
    refuse_if(rules.hinders_weighing(facts), Refusal)
    return store(BalanceReading(instrument=held, key=key, mass_g=mass_g, at=seen))
