"""Lifts and bags: the way from a bag to its depth and its dig is never lost, also without signal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any

from django.db.models import Max
from django.utils import timezone

from catalog.excavations import rules
from catalog.excavations.actions.filling import days_of, fill
from catalog.excavations.models import Bag, Excavation, Lift
from catalog.ground.acting import action, locked, store, store_many
from catalog.ground.collection import local, today
from catalog.ground.numbers import next_number
from catalog.ground.refusal import NotFound, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.people.models import Person

_LIFT = ("from_cm", "to_cm", "shaft", "up_marked", "side", "lifted_on", "by", "note")


@action("excavation.write")
def record_lift(
    actor: Actor,
    excavation_pk: int,
    said: Mapping[str, Any],
    *,
    bags: Iterable[str] = (),
    at: datetime | None = None,
) -> Lift:
    """What left the ground together: any of `_LIFT`; its bags are tied to it in the same act.

    `at`: when it was done, where it is written later.
    """
    dig = locked(Excavation, pk=excavation_pk)
    lift = Lift(excavation=dig, n=(dig.lifts.aggregate(last=Max("n"))["last"] or 0) + 1)
    fill(lift, said, _LIFT)
    refuse_if(rules.wrong_depths(lift.from_cm, lift.to_cm), Refusal)
    if not lift.lifted_on:
        lift.lifted_on = (local(min(at, timezone.now())).date() if at else today()).isoformat()
    days_of(lift.lifted_on, "lifted_on")
    store(lift)
    for code in dict.fromkeys(c.strip().upper() for c in bags if c.strip()):
        tie_bag(actor, code, lift, at=at, by=lift.by)
    return lift


@action("excavation.write")
def make_bags(actor: Actor, n: int) -> list[Bag]:
    """Unused codes for labels that are printed beforehand, in pairs: one goes inside, one outside."""
    refuse_if(rules.hinders_making_bags(n), Refusal)
    return store_many([Bag(code=f"BAG-{next_number('bag')}") for _ in range(n)])


@action("excavation.write")
def tie_bag(actor: Actor, code: str, lift: Lift, *, at: datetime | None = None, by: Person | None = None) -> Bag:
    """The first scan of a bag's code ties it to its lift; the second, of the other label of the pair, changes nothing."""
    bag = _held(code, "bags")
    tied_to = str(bag.lift) if bag.lift else ""
    refuse_if(rules.hinders_tying(bag.code, tied_to=tied_to, lift=str(lift), outcome=bag.outcome))
    if bag.lift_id == lift.pk:
        return bag
    now = timezone.now()
    bag.lift, bag.tied_at, bag.tied_by = lift, min(at or now, now), by
    bag.tied_by_id = bag.tied_by_id or actor.person_id
    return store(bag)


@action("excavation.write")
def close_bag(
    actor: Actor,
    code: str,
    outcome: str,
    ground: str = "",
    *,
    on: date | None = None,
    expected_version: int | None = None,
) -> Bag:
    """Every bag ends: `inventoried` (its pieces are listed) or `written off` with the reason."""
    bag = _held(code, "code", expected_version)
    if outcome not in dict(Bag.OUTCOMES):
        raise Refusal(Reason("A bag ends inventoried or written off.", "outcome", said=outcome))
    tied_on = local(bag.tied_at).date() if bag.tied_at else None
    facts = {"ground": ground, "tied": bag.lift_id is not None, "tied_on": tied_on, "closed_as": bag.outcome}
    refuse_if(rules.hinders_closing(bag.code, outcome, on=on or today(), today=today(), **facts))  # type: ignore[arg-type]
    fill(bag, {"outcome": outcome, "ground": ground}, ("outcome", "ground"))
    bag.closed_on = on or today()
    return store(bag)


def _held(code: str, field: str, expected_version: int | None = None) -> Bag:
    """The bag of this code, or of a label's address that ends in it."""
    bare = code.strip().rstrip("/").rpartition("/")[2]
    try:
        return locked(Bag, expected_version, code__iexact=bare)
    except NotFound:
        sentence = f"“{bare[:40]}” is not a bag of ours. Scan it again, or print codes under Bags."
        raise Refusal(Reason(sentence, field, said=bare[:40])) from None
