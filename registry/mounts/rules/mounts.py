"""What hinders a mount, a support, and putting something on. Pure: facts in, sentences out."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from catalog.ground.refusal import Reason
from catalog.ground.say import day, plural
from registry.mounts.said import MountedSaid, MountSaid, SupportSaid

KINDS = ("board", "frame", "rod", "cradle")
HOLDINGS = ("standing", "hanging", "bracket")
MOST_SUPPORTS = 24
_FAR_MM = Decimal(100_000)
_LONGEST = {"maker": 200, "touches": 300, "gear": 300, "plan": 5000, "note": 5000}
_LONGEST_OF_SUPPORT = {"capacity_source": 300, "fixed_into": 200, "assessed_by": 200, "note": 5000}


def _too_long(said: object, longest: dict[str, int]) -> list[Reason]:
    found = []
    for name, most in longest.items():
        text = getattr(said, name)
        if len(text) > most:
            found.append(Reason(f"Shorten this to {most} letters; it has {len(text)}.", name))
    return found


def _too_far(said: MountSaid | SupportSaid | MountedSaid) -> list[Reason]:
    return [
        Reason("Write the distance in millimetres, within 100 metres.", name, said=str(value))
        for name in ("x_mm", "y_mm", "z_mm")
        if (value := getattr(said, name)) is not None and abs(value) > _FAR_MM
    ]


def wrong_mount(said: MountSaid) -> list[Reason]:
    """Reasons against what is said of a mount."""
    found = []
    if said.kind not in KINDS:
        found.append(Reason(f"A mount is one of these: {', '.join(KINDS)}.", "kind", said=said.kind))
    if said.holding not in HOLDINGS:
        found.append(Reason("Say whether it stands, hangs, or is held out from a wall.", "holding", said=said.holding))
    if not said.name.strip():
        found.append(Reason("Write what the mount is called, such as Frame 1.", "name"))
    elif len(said.name) > 200:
        found.append(Reason(f"Shorten this to 200 letters; it has {len(said.name)}.", "name"))
    if said.mass_g is not None and not 0 <= said.mass_g < 100_000_000:
        found.append(Reason("A mass is above nothing, in grams, below 100 tonnes.", "mass_g", said=str(said.mass_g)))
    if not 1 <= said.dynamic <= 10:
        sentence = "What handling adds is a factor from 1 (standing still) to 10."
        found.append(Reason(sentence, "dynamic", said=str(said.dynamic)))
    if said.inspect_months is not None and not 1 <= said.inspect_months <= 120:
        found.append(Reason("Inspect it every 1 to 120 months.", "inspect_months", said=str(said.inspect_months)))
    if said.people_needed is not None and not 1 <= said.people_needed <= 99:
        found.append(Reason("Write how many people it takes, 1 to 99.", "people_needed", said=str(said.people_needed)))
    if said.place is not None and said.stands_in is not None:
        found.append(
            Reason("It is a place already: where it stands is said there. Leave one of them empty.", "stands_in")
        )
    return found + _too_long(said, _LONGEST) + _too_far(said)


def wrong_support(said: SupportSaid, others: Iterable[str], *, hanging: bool) -> list[Reason]:
    """Reasons against what is said of a support. `others`: the numbers of the mount's other supports, ever."""
    found, taken = [], {o.lower() for o in others}
    if not re.fullmatch(r"[A-Za-z0-9]{1,10}", said.number):
        found.append(Reason("A support is called by a letter or a figure, as on its drawing: 1, a, 2b.", "number"))
    elif said.number.lower() in taken:
        found.append(Reason(f"There is a support {said.number} already. Take the next.", "number", said=said.number))
    if len(taken) >= MOST_SUPPORTS:
        found.append(Reason(f"A mount has at most {MOST_SUPPORTS} supports here. Write it as two mounts.", "number"))
    for name, axis in (("x_mm", "from the left"), ("y_mm", "from the front")):
        if getattr(said, name) is None:
            found.append(Reason(f"Write how far {axis} it is, in millimetres.", name))
    return found + _wrong_capacity(said, hanging) + _too_long(said, _LONGEST_OF_SUPPORT) + _too_far(said)


def _wrong_capacity(said: SupportSaid, hanging: bool) -> list[Reason]:
    found = []
    if said.capacity_n is not None and not 0 < said.capacity_n < 10_000_000:
        sentence = "What it may bear is above nothing, in newtons."
        found.append(Reason(sentence, "capacity_n", said=str(said.capacity_n)))
    if said.capacity_n is not None and not said.capacity_source.strip():
        sentence = "Write where this capacity is from: a maker's sheet, a test, an engineer."
        found.append(Reason(sentence, "capacity_source"))
    if said.safety is not None and not 1 <= said.safety <= 100:
        found.append(Reason("A safety factor is 1 or more.", "safety", said=str(said.safety)))
    if said.angle_deg is not None and not (hanging and 30 <= said.angle_deg <= 90):
        sentence = "The angle from the horizontal is for a wire that hangs: 30 to 90 degrees; flatter is not reckoned."
        found.append(Reason(sentence, "angle_deg", said=str(said.angle_deg)))
    return found


def wrong_mounting(said: MountedSaid, *, today: date) -> list[Reason]:
    if said.on is not None and said.on > today:
        return [
            Reason("This day has not come yet. Write since when it is on the mount.", "on", said=said.on.isoformat())
        ]
    return _too_far(said)


def hinders_hanging(number: str, *, overhead: bool, word_holds: bool) -> list[Reason]:
    """Overhead, an engineer's word is wanted before anything is hung, and again after any change."""
    if not overhead or word_holds:
        return []
    return [
        Reason(f"{number} is overhead: a qualified engineer's word is wanted before anything is put on it.", "mount")
    ]


def on_another(what: str, number: str) -> Reason:
    return Reason(f"{what} is on {number} already. Take it off there first.", "what", f"/mounts/{number}/")


def stays(what: str, number: str, *, people: int | None) -> str:
    """`2011.3 is on F-1, a mount that is not to be moved without its plan and four people.`"""
    with_them = f" and {plural(people, 'person', 'people')}" if people else ""
    return f"{what} is on {number}, a mount that is not to be moved without its plan{with_them}."


def closed(number: str, since: date, below: str = "") -> str:
    """`F-1 is closed since 3 July 2026, and so is North side: a support has failed. …`"""
    and_below = f", and so is {below}" if below else ""
    return (
        f"{number} is closed since {day(since)}{and_below}: a support has failed. "
        "It opens again when a qualified engineer's word is on record."
    )
