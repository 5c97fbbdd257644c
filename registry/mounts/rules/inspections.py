"""What an inspection has to say, and what follows from it. Pure: facts in, sentences out."""

from __future__ import annotations

import calendar
from collections.abc import Iterable, Sequence
from datetime import date

from catalog.ground.refusal import Reason
from catalog.ground.say import listed
from registry.mounts.said import InspectionSaid, WordSaid

STATES = {"sound": "sound", "watch": "to be watched", "fail": "failed"}
SIGNS = {
    "corrosion": "corrosion",
    "creep": "creep",
    "slack": "slack",
    "padding": "padding worn or gone",
    "fixing": "fixing loose",
}
ROUND = ("kept", "not kept", "none")
SAYS = ("safe", "safe with conditions", "not safe")


def wrong_inspection(said: InspectionSaid, supports: Sequence[str], *, today: date) -> list[Reason]:
    """Reasons against an inspection: every support is judged once, nothing is from a day to come."""
    on, found = said.on or today, []
    if on > today:
        found.append(Reason("This day has not come yet. Write when it was inspected.", "on", said=on.isoformat()))
    if not said.competence.strip():
        sentence = "Write what makes this person fit to judge it: trained by, trade, years."
        found.append(Reason(sentence, "competence"))
    elif len(said.competence) > 200:
        found.append(Reason(f"Shorten this to 200 letters; it has {len(said.competence)}.", "competence"))
    if said.next_due and said.next_due <= on:
        found.append(Reason("The next inspection comes after this one.", "next_due", said=said.next_due.isoformat()))
    for name in ("clearance", "barrier"):
        if (value := getattr(said, name)) and value not in ROUND:
            found.append(Reason(f"This is one of: {', '.join(ROUND)}.", name, said=value))
    if not supports:
        found.append(Reason("No support is on record yet. Write where each of them is, then inspect.", "supports"))
    return found + _each_support(said, supports)


def _each_support(said: InspectionSaid, supports: Sequence[str]) -> list[Reason]:
    found, seen, known = [], set(), {s.lower(): s for s in supports}
    for n, one in enumerate(said.found):
        at, number = f"supports/{n}/number", one.number.lower()
        if number not in known:
            found.append(Reason(f"There is no support {one.number[:20]} on this mount.", at, said=one.number[:20]))
            continue
        if number in seen:
            found.append(Reason(f"Support {one.number} is judged twice. Leave one out.", at, said=one.number))
        seen.add(number)
        if one.state not in STATES:
            sentence = f"Say how support {known[number]} is: sound, to be watched, or failed."
            found.append(Reason(sentence, f"state_{known[number]}", said=one.state[:20]))
        if wrong := [s for s in one.signs if s not in SIGNS]:
            found.append(Reason(f"A sign is one of: {', '.join(SIGNS)}.", f"signs_{known[number]}", said=wrong[0][:20]))
        if len(one.note) > 500:
            found.append(Reason(f"Shorten this to 500 letters; it has {len(one.note)}.", f"note_{known[number]}"))
    missing = [known[s] for s in known if s not in seen]
    return found + [Reason(f"Say how support {s} is: sound, to be watched, or failed.", f"state_{s}") for s in missing]


def wrong_word(said: WordSaid, *, today: date) -> list[Reason]:
    """Reasons against an engineer's word: a name, a qualification, a day, a paper."""
    found = []
    asked = {
        "engineer": "Write the engineer's name.",
        "qualification": "Write the engineer's licence or qualification.",
        "paper": "Write which paper says so, and where it lies.",
    }
    for name, sentence in asked.items():
        if not getattr(said, name).strip():
            found.append(Reason(sentence, name))
    if said.on is None:
        found.append(Reason("Write on which day the engineer said so.", "on"))
    elif said.on > today:
        found.append(Reason("This day has not come yet. Write when it was said.", "on", said=said.on.isoformat()))
    if said.says not in SAYS:
        found.append(Reason(f"An engineer says one of: {', '.join(SAYS)}.", "says", said=said.says))
    if said.says == "safe with conditions" and not said.conditions.strip():
        found.append(Reason("Write under which conditions it is safe.", "conditions"))
    return found


def months_on(day: date, months: int) -> date:
    """The same day so many months later, or the last of that month: 31 January and one month is 28 February."""
    years, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month + 1
    return date(year, month, min(day.day, calendar.monthrange(year, month)[1]))


def consequences(number: str, failed: Sequence[str], over: Iterable[str], below: str) -> list[str]:
    """What follows from supports that failed: who bears too much, what is closed, who is told."""
    if not failed:
        return []
    word = "Support" if len(failed) == 1 else "Supports"
    said = [f"{word} {listed(failed)} of {number} {'has' if len(failed) == 1 else 'have'} failed."]
    if too_much := list(over):
        name = "support" if len(too_much) == 1 else "supports"
        said.append(f"Without {'it' if len(failed) == 1 else 'them'}, {name} {listed(too_much)} may bear too much.")
    closes = f"{number} and {below} are" if below else f"{number} is"
    said.append(
        f"{closes} closed until a qualified engineer's word is on record. Keep people out, and put up a barrier."
    )
    said.append("The keeper and the registrar are told on their Today at once.")
    return said
