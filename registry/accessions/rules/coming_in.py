"""What came through the door, and what goes out of it again."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from catalog.ground.refusal import Reason
from registry.accessions.said import EntrySaid, ExitSaid, ObjectSaid
from registry.accessions.states import HOWS, STATES, step

_MOST_OBJECTS = 100
_LIMITS = {
    "what": 500,
    "from_words": 200,
    "owner_words": 200,
    "parts_are": 60,
    "packing": 300,
    "hazards": 10_000,
    "note": 10_000,
}
# as the API and the page call them, where that is not the name here
_CALLED = {"from_words": "from", "owner_words": "owner"}


def wrong_entry(said: EntrySaid, *, today: date) -> list[Reason]:
    """Reasons against an entry: what came and how have to be said; nothing has come in the future."""
    found = [] if said.what.strip() else [Reason("Write in a line what came.", "what")]
    if said.how not in dict(HOWS):
        known = ", ".join(key for key, _ in HOWS)
        found.append(Reason(f"Say how it came: {known}.", "how", said=said.how))
    if said.came_on and said.came_on > today:
        found.append(
            Reason("This day has not come yet. Write the day it came.", "came_on", said=said.came_on.isoformat())
        )
    if said.back_by and said.came_on and said.back_by < said.came_on:
        found.append(Reason("It cannot be due back before it came.", "back_by", said=said.back_by.isoformat()))
    if not 1 <= said.n_objects <= _MOST_OBJECTS:
        sentence = f"One entry holds 1 to {_MOST_OBJECTS} objects. Write a second entry for more."
        found.append(Reason(sentence, "objects", said=str(said.n_objects)))
    if said.value is not None and said.value < 0:
        found.append(Reason("A value cannot be below zero.", "value", said=str(said.value)))
    return found + _wrong_parts(said.parts) + _too_long(said) + _wrong_tags(said.former_numbers)


def money_in(text: str, currency: str) -> tuple[Decimal, str]:
    """`250`, `1 250,50 EUR` -> amount and ISO 4217 code; ValueError with what to write."""
    said = re.fullmatch(r"\s*([0-9][0-9 \u00a0\u202f]*)(?:([.,])([0-9]{1,4}))?\s*([A-Za-z]{3})?\s*", text)
    if said is None:
        raise ValueError(f"“{text[:40]}” is not an amount. Write it in figures, such as 250 {currency}.")
    whole, sign, part, code = said.groups()
    if sign and len(part) == 3:
        raise ValueError(f"“{text[:40]}” can be read in two ways. Write it without a sign between the thousands.")
    return Decimal(f"{re.sub(r'[^0-9]', '', whole)}.{part or 0}"), (code or currency).upper()


def wrong_object(said: ObjectSaid) -> list[Reason]:
    """Reasons against one more object of an entry."""
    long = [Reason("Shorten this to 500 letters.", "what")] if len(said.what) > 500 else []
    return long + _wrong_parts(said.parts) + _wrong_tags(said.former_numbers)


def _wrong_parts(parts: int | None) -> list[Reason]:
    if parts is None:
        return []
    if parts < 1:
        sentence = "At least one part came. Leave it empty where nobody has counted yet."
        return [Reason(sentence, "parts", said=str(parts))]
    return [Reason("More than 100 000 parts: count crumbs as one lot.", "parts")] if parts > 100_000 else []


def _too_long(said: EntrySaid) -> list[Reason]:
    return [
        Reason(
            f"This is {len(getattr(said, name))} letters long. Shorten it to {most:,}.".replace(",", " "),
            _CALLED.get(name, name),
        )
        for name, most in _LIMITS.items()
        if len(getattr(said, name)) > most
    ]


def _wrong_tags(tags: Iterable[str]) -> list[Reason]:
    if any(len(tag) > 300 for tag in tags):
        return [Reason("A tag of more than 300 letters: photograph it instead.", "former_numbers")]
    return []


def hinders_step(number: str, state: str, verb: str) -> list[Reason]:
    """One step of an object from its state. A step that is not in the table is refused in a sentence."""
    if step(state, verb):
        return []
    words = {
        "accessioned": f"{number} has its number in the register. It leaves only by a decision to take it off again.",
        "refused": f"{number} was refused. A new case needs a new entry.",
        "given back": f"{number} was given back. It is no longer here.",
        "kept for teaching": f"{number} is kept for teaching, without a number of the register.",
        "same as another": f"{number} turned out to be another cast. Open that one.",
        "proposed": f"{number} waits for a decision.",
        "accepted": f"{number} is accepted already.",
        "loan in": f"{number} is a loan to us. It can go back, or be proposed where it is to become ours.",
        "job": f"{number} is here for a job. It can go back, or be proposed where it is to become ours.",
        "entered": f"{number} is not proposed yet. Propose it first.",
    }
    return [Reason(words.get(state, f"{number} is {STATES.get(state, state)}."))]


def wrong_exit(said: ExitSaid, *, today: date, came_on: date | None = None) -> list[Reason]:
    """Reasons against an exit: why, to whom, not before it came, not in the future."""
    found = [] if said.reason.strip() else [Reason("Write why it goes.", "reason")]
    if not (said.to_words.strip() or said.to_person):
        found.append(Reason("Write who takes it.", "to"))
    if said.on and said.on > today:
        found.append(Reason("This day has not come yet. Write the day it went.", "on", said=said.on.isoformat()))
    if said.on and came_on and said.on < came_on:
        found.append(Reason("It cannot go before it came.", "on", said=said.on.isoformat()))
    return found + _wrong_parts(said.parts)
