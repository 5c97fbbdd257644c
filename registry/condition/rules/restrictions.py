"""What bars a deed and how a refusal says it. Pure: facts in, sentences out."""

from __future__ import annotations

from datetime import date

from catalog.ground.refusal import Reason
from catalog.ground.say import capital, day
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
    """`2019.3 cannot be lent: it is softened by heat, since 3 July 2026. Tobias Wren may lift it.`"""
    end = f" until {day(until)}" if until else ""
    lift = who.strip().rstrip(".") or "the keeper"
    ground = why.strip().rstrip(".")
    return f"{what} cannot be {DONE[deed]}: {ground}, since {day(since)}{end}. {capital(lift)} may lift it."


def in_force(since: date, until: date | None, lifted_on: date | None, *, on: date) -> bool:
    """Whether it bars on this day."""
    return lifted_on is None and since <= on and (until is None or on <= until)


def hinders_lifting(*, lifted_on: date | None, why: str) -> list[Reason]:
    """A restriction is lifted once, with the reason."""
    if lifted_on:
        return [Reason(f"It was lifted on {day(lifted_on)} already.")]
    if len(why) > 300:
        return [Reason(f"Shorten this to 300 letters; it has {len(why)}.", "why")]
    return [] if why.strip() else [Reason("Write why it may be done again.", "why")]
