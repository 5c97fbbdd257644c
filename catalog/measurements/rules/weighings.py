"""Weighings: what cannot be one, and a reading that comes twice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from catalog.ground import say
from catalog.ground.refusal import Reason

MOST_G = Decimal(10_000_000)
STATES = ("", "wet", "air dry", "constant")


@dataclass(frozen=True)
class WeighingFacts:
    """`mass_g` is net. `dug`: the day the cast came out of the ground, where it is known."""

    mass_g: Decimal
    at: datetime
    day: date
    now: datetime
    state: str = ""
    tare_g: Decimal | None = None
    u_g: Decimal | None = None
    dug: date | None = None
    too_much_for: str = ""


def hinders_weighing(facts: WeighingFacts) -> list[Reason]:
    """Everything wrong with it at once, each at its field."""
    return [*_mass(facts), *_rest(facts), *_when(facts)]


def _mass(facts: WeighingFacts) -> list[Reason]:
    said = str(facts.mass_g)
    if facts.mass_g <= 0:
        sentence = "A mass is above zero. Was the tray or the bag still on the pan?"
        return [Reason(sentence, "mass_g", said=said)]
    if facts.mass_g > MOST_G:
        return [Reason(f"More than {say.mass(MOST_G)}: look at the unit.", "mass_g", said=said)]
    if facts.too_much_for:
        return [Reason(f"{facts.too_much_for} does not carry so much. Which balance was it?", "mass_g", said=said)]
    return []


def _rest(facts: WeighingFacts) -> list[Reason]:
    found = []
    if facts.tare_g is not None and facts.tare_g < 0:
        found.append(Reason("What was taken off is not below zero.", "tare_g", said=str(facts.tare_g)))
    if facts.u_g is not None and facts.u_g < 0:
        found.append(Reason("What a mass may be off by is not below zero.", "mass_u_g", said=str(facts.u_g)))
    if facts.state not in STATES:
        found.append(Reason("Say wet, air dry or constant.", "state", said=facts.state))
    return found


def _when(facts: WeighingFacts) -> list[Reason]:
    if facts.at > facts.now:
        return [Reason("This has not come yet. Write when it was weighed.", "at", said=facts.at.isoformat())]
    if facts.dug and facts.day < facts.dug:
        sentence = f"That is before it came out of the ground, on {say.day(facts.dug)}."
        return [Reason(sentence, "at", said=facts.at.isoformat())]
    return []


def hinders_repeat(instrument: str, *, kept_for: str, meant_for: str) -> list[Reason]:
    """A reading that comes again is the same one; for another thing it is not."""
    if kept_for == meant_for:
        return []
    return [Reason(f"This reading of {instrument} is kept for {kept_for} already. Weigh {meant_for} itself.", "key")]
