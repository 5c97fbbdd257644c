"""What bars a deed and how a refusal says it. Pure: facts in, sentences out."""

from __future__ import annotations

from datetime import date

from catalog.ground.refusal import Reason
from catalog.ground.say import day
from registry.condition.said import RestrictionSaid

DONE = {"lend": "lent", "move": "moved", "treat": "treated", "touch": "touched", "publish": "published"}


def wrong_restriction(said: RestrictionSaid, *, today: date) -> list[Reason]:
    """Reasons against a restriction as it was said."""
    found = []
    if said.deed not in DONE:
        found.append(Reason(f"One of these is barred: {', '.join(DONE)}.", "deed", said=said.deed))
    if not said.why.strip():
        found.append(Reason("Write why it is barred.", "why"))
    if said.since and said.since > today:
        found.append(
            Reason("This day has not come yet. Write since when it is barred.", "since", said=said.since.isoformat())
        )
    if said.until and said.until < (said.since or today):
        found.append(
            Reason(
                "A restriction does not end before it begins. Write a later day.", "until", said=said.until.isoformat()
            )
        )
    return found


def sentence(what: str, deed: str, why: str, *, since: date, until: date | None, who: str) -> str:
    """`2019.3 may not be lent: softened by heat, since 3 July 2026. The keeper may lift it.`"""
    end = f" until {day(until)}" if until else ""
    lift = who.strip().rstrip(".") or "the keeper"
    return f"{what} may not be {DONE[deed]}: {why.strip().rstrip('.')}, since {day(since)}{end}. {lift[0].upper()}{lift[1:]} may lift it."


def hinders_lifting(*, lifted_on: date | None, why: str) -> list[Reason]:
    """A restriction is lifted once, with the reason."""
    if lifted_on:
        return [Reason(f"It was lifted on {day(lifted_on)} already.")]
    return [] if why.strip() else [Reason("Write why it may be done again.", "why")]
