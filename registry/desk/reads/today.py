"""What waits for a reader today: late first, then what waits, then what is coming."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from catalog.ground import say
from catalog.ground.asks import Duty, todays_work
from catalog.ground.roles import ACTS, Actor

_SHOWN = 12
_HEADINGS = [("late", "Late"), ("waits", "Waits for you"), ("soon", "Coming")]


@dataclass(frozen=True)
class Waits:
    """One duty as a row: its sentence parted around the number in it, its word, the small print, the act."""

    before: str
    number: str
    after: str
    href: str
    way: str
    word: str = ""
    small: str = ""


@dataclass(frozen=True)
class Group:
    """The duties of one weight: those shown, and how many more there are."""

    weight: str
    heading: str
    rows: list[Waits]
    n: int

    @property
    def n_more(self) -> int:
        return self.n - len(self.rows)


def todays_groups(reader: Actor, today: date, *, whole: str = "") -> list[Group]:
    """Today's work in groups; each shows its first dozen, the one named `whole` all. Groups without a duty are left out."""
    duties = todays_work(reader)
    groups = []
    for weight, heading in _HEADINGS:
        mine = sorted((d for d in duties if d.weight == weight), key=lambda d: (d.since or today, d.number))
        shown = mine if whole == weight else mine[:_SHOWN]
        if mine:
            groups.append(Group(weight, heading, [_row(d, today) for d in shown], len(mine)))
    return groups


def _row(duty: Duty, today: date) -> Waits:
    before, number, after = duty.sentence.partition(duty.number) if duty.number else (duty.sentence, "", "")
    if duty.number and not number:  # its sentence does not say the number: the tag stands before it
        before, number, after = "", duty.number, f" {duty.sentence}"
    small = [duty.who] if duty.who else []
    if duty.since:
        small.append(f"since {say.day_short(duty.since, today)}")
    way = duty.act if duty.act and duty.act not in ACTS else "Open it"
    word = {"late": "late", "soon": "coming"}.get(duty.weight, "")
    return Waits(before, number, after, duty.href, way, word, ", ".join(small))
