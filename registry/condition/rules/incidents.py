"""What may be said of an incident and of a breakage, and how it is told. Pure: facts in, reasons and sentences out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from catalog.ground.edtf import read_edtf
from catalog.ground.refusal import Reason
from catalog.ground.say import capital, day, figure, listed, mass, plural
from registry.condition.said.incidents import BodySaid, BreakageSaid, IncidentSaid, LooseSaid
from registry.condition.states.incidents import HOWS

MOST_PARTS = 200
# out of our hands in this way a thing can still break: it is kept, or it waits to go back
_STILL_HERE = ("", "kept for teaching", "refused")


@dataclass(frozen=True)
class Thing:
    """What is known of a thing that something happened to. `dug`: the first day it can have been out of the ground."""

    number: str
    whole: bool = True
    broke_on: date | None = None
    parts: tuple[str, ...] = ()
    closed_as: str = ""
    has_pieces: bool = False
    dug: date | None = None
    href: str = ""


def wrong_incident(said: IncidentSaid, things: Sequence[Thing], *, today: date) -> list[Reason]:
    """A day to come, a day before it was dug, an unknown way, a date that cannot be read, too much text."""
    found = _wrong_day(said.noticed_on, "noticed_on", things, today)
    if said.how and said.how not in dict(HOWS):
        found.append(Reason(f"How it happened is one of these: {', '.join(dict(HOWS))}.", "how", said=said.how))
    if said.happened_on:
        found += _wrong_span(said, things, today)
    for name in ("note", "measures", "told", "searched"):
        if len(text := getattr(said, name)) > 5000:
            found.append(Reason(f"Shorten this to 5000 letters; it has {len(text)}.", name))
    return found


def _wrong_day(on: date | None, field: str, things: Sequence[Thing], today: date) -> list[Reason]:
    if on is None:
        return []
    if on > today:
        return [Reason("This day has not come yet. Write when it was noticed.", field, said=on.isoformat())]
    early = [t for t in things if t.dug and on < t.dug]
    return [
        Reason(
            f"{capital(day(on))} is before {t.number} came out of the ground, on {day(t.dug)}. Write a later date.",
            field,
            said=on.isoformat(),
        )
        for t in early[:1]
        if t.dug
    ]


def _wrong_span(said: IncidentSaid, things: Sequence[Thing], today: date) -> list[Reason]:
    try:
        span = read_edtf(said.happened_on)
    except ValueError as error:
        return [Reason(str(error), "happened_on", said=said.happened_on)]
    noticed = said.noticed_on or today
    if span.earliest and span.earliest > noticed:
        sentence = f"It was noticed on {day(noticed)}: it happened then, or before. Write an earlier date."
        return [Reason(sentence, "happened_on", said=said.happened_on)]
    return _wrong_day(span.latest if span.latest and span.latest < noticed else None, "happened_on", things, today)


def hinders_breaking(thing: Thing, field: str = "of") -> list[Reason]:
    """Only what is already broken or gone is refused; a thing in other hands can break like any other."""
    if not thing.whole:
        since = f"broke on {day(thing.broke_on)}" if thing.broke_on else "is broken already"
        parts = f" Its parts are {listed(thing.parts)}; name the part that broke." if thing.parts else ""
        return [Reason(f"{thing.number} {since}.{parts}", field, thing.href, thing.number)]
    if thing.closed_as not in _STILL_HERE:
        return [Reason(f"{thing.number} is no longer in our care: {thing.closed_as}.", field, thing.href, thing.number)]
    return []


def wrong_bodies(said: BreakageSaid, things: Sequence[Thing]) -> list[Reason]:
    """Reasons against what was said to have broken, each at its field."""
    if not said.bodies and not said.joins:
        return [Reason("Scan or write what broke.", "of")]
    numbers = [t.number for t in things]
    found = [
        Reason(f"{n} is named twice. Name each thing once.", "of", said=n)
        for n in sorted({n for n in numbers if numbers.count(n) > 1})
    ]
    for n, (body, thing) in enumerate(zip(said.bodies, things, strict=True)):
        found += _wrong_body(body, thing, alone=len(said.bodies) == 1, n=n, loose=said.loose)
    return found + (_wrong_loose(said.loose) if said.loose else [])


def _wrong_body(body: BodySaid, thing: Thing, *, alone: bool, n: int, loose: LooseSaid | None) -> list[Reason]:
    found = []
    if thing.has_pieces:
        found.append(
            Reason(
                f"{thing.number} is in pieces. Name the piece that broke, or the joins that came apart.",
                "of",
                thing.href,
                thing.number,
            )
        )
    if not body.parts and not body.one_body and loose is None:
        sentence = "Say into how many parts it broke, or that one body is left."
        found.append(Reason(sentence if alone else f"{thing.number}: {sentence[0].lower()}{sentence[1:]}", "parts"))
    if len(body.parts) > MOST_PARTS:
        found.append(Reason(f"More than {MOST_PARTS} parts: keep the small ones as one lot of crumbs.", "parts"))
    for i, part in enumerate(body.parts):
        found += wrong_mass(part.mass_g, f"parts/{i}/mass_g", "A part")
    if body.one_body and body.parts and len(body.parts) > 1:
        found.append(Reason("One body is left, or several parts came of it: say one of them.", "parts"))
    found += _below_zero(body.crumbs_g, "crumbs_g", "A mass") + _below_zero(body.lost_g, "lost_g", "A loss")
    letters = [(a, b) for a, b in body.fits if not (1 <= a <= len(body.parts) and 1 <= b <= len(body.parts) and a != b)]
    if letters:
        found.append(Reason(f"There is no part {max(letters[0])} to fit. Count the parts from 1.", "fits"))
    return found


def wrong_mass(mass_g: Decimal | None, field: str, what: str) -> list[Reason]:
    """Below nothing, or nothing at all: an empty one is weighed later."""
    if mass_g is None or mass_g > 0:
        return []
    if mass_g == 0:
        return [Reason(f"{what} weighs more than nothing. Leave it empty to weigh it later.", field, said=str(mass_g))]
    return _below_zero(mass_g, field, "A mass")


def _below_zero(mass_g: Decimal | None, field: str, what: str) -> list[Reason]:
    bad = mass_g is not None and mass_g < 0
    return [Reason(f"{what} cannot be below zero.", field, said=str(mass_g))] if bad else []


def _wrong_loose(loose: LooseSaid) -> list[Reason]:
    found = [] if loose.n >= 1 else [Reason("Count the fragments: at least one.", "loose_n", said=str(loose.n))]
    return found + wrong_mass(loose.mass_g, "loose_g", "A lot")


# what is told


def where_words(place: str, hands: str) -> str:
    """`on shelf 3 in bay B, in our hands`"""
    return f"{place}, in {hands}" if place else f"in {hands}"


def title(kind: str, numbers: Sequence[str]) -> str:
    """What an incident is called: `2016.1.4 broke`, `2023.4 is missing`."""
    names = listed(numbers) if len(numbers) <= 4 else f"{listed(numbers[:3])} and {len(numbers) - 3} more"
    many = len(numbers) > 1
    return {
        "breakage": f"{names} broke",
        "damage": f"{names} {'were' if many else 'was'} damaged",
        "missing": f"{names} {'are' if many else 'is'} missing",
        "found": f"{names} {'were' if many else 'was'} found again",
    }[kind]


def became(number: str, parts: Sequence[str], way: str) -> str:
    """`2016.1.4 is now 2016.1.4.1, 2016.1.4.2 and 2016.1.4.3.`"""
    if way == "one body":
        return f"{number} keeps its number: one body is left."
    if not parts:
        return f"{number} is no longer whole; its parts wait in the loose lot of this incident."
    if len(parts) > 4:
        return f"{number} is now {plural(len(parts), 'part')}, {parts[0]} to {parts[-1]}."
    return f"{number} is now {listed(list(parts))}."


def loose_words(n: int, mass_g: Decimal | None) -> str:
    """`Nine fragments, 41.2 g, wait until somebody knows what they broke from.`"""
    weight = f", {mass(mass_g)}," if mass_g is not None else ", not weighed,"
    return f"{capital(plural(n, 'fragment'))}{weight} {'waits' if n == 1 else 'wait'} until somebody knows what {'it' if n == 1 else 'they'} broke from."


_DONE = {"lend": "lent", "mount": "mounted", "treat": "treated"}


def missing_words(number: str, since: date, last: str, deed: str = "lend") -> str:
    """`2023.4 cannot be lent: it is missing since 4 June 2026. Last seen in crate K-12.`"""
    seen = f" Last seen {last}." if last else ""
    return f"{number} cannot be {_DONE[deed]}: it is missing since {day(since)}.{seen} Say so when it is found again."


def open_words(number: str, kind: str, since: date) -> str:
    """Why what broke or was damaged is not lent until the keeper has decided."""
    what = "broke" if kind == "breakage" else "was damaged"
    return f"{number} cannot be lent: it {what} on {day(since)} and the keeper has not closed the incident."


def hinders_taking_back(*, taken_back: bool, closed: bool, is_theirs: bool, later: Sequence[str]) -> list[Reason]:
    """An incident is taken back once, by who recorded it or the registrar, while nothing has been built on it."""
    if taken_back:
        return [Reason("It was taken back already.")]
    if not is_theirs:
        return [Reason("Only who recorded it, or a registrar, may take it back.")]
    found = [Reason(f"It cannot be taken back: {sentence}") for sentence in later]
    if closed:
        found.insert(0, Reason("It cannot be taken back: the keeper has closed it."))
    return found


def hinders_deciding(*, kind: str, standing: str, loose_n: int) -> list[Reason]:
    """What is missing is closed by finding it; what was taken back, or closed, is not decided again."""
    if standing != "open":
        return [Reason(f"It is {standing} already.")]
    if kind == "missing":
        return [Reason("What is missing stays open until it is found again.")]
    if loose_n:
        return [Reason(f"{figure(loose_n)} fragments still wait to be placed. Place them first.")]
    return []


def hinders_placing(
    of: str, n_parts: int, weighed: Decimal, *, n: int, mass_g: Decimal | None, broke_here: bool
) -> list[Reason]:
    """Fragments leave the loose lot for a thing that broke in the same incident, no more and no heavier than lie in it."""
    if not broke_here:
        return [Reason(f"{of} did not break in this incident.", "of", said=of)]
    if n_parts < 1:
        return [Reason("Say how many of the fragments it is.", "n_parts")]
    if n_parts > n:
        return [Reason(f"{capital(plural(n, 'fragment'))} wait in the lot. Write at most {figure(n)}.", "n_parts", said=str(n_parts))]  # fmt: skip
    if mass_g is not None and weighed > mass_g:
        return [Reason(f"The fragments in the lot weigh {mass(mass_g)} together. Weigh these again.", "mass_1", said=str(weighed))]  # fmt: skip
    return []
