"""What may be written of a dig, what is missing, what lies outside its permit. Pure: facts in, sentences out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from catalog.ground import say
from catalog.ground.edtf import in_words
from catalog.ground.refusal import Reason

_ORDINALS = ("", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
MOST_BAGS = 200
DAYS_FOR_A_BAG = 14


# by whose leave


@dataclass(frozen=True)
class Leave:
    """A permit or a consent: `named` as in a sentence (`permit NS-25-2`), the site it is for, its days, its ceiling."""

    named: str
    from_on: date | None = None
    until_on: date | None = None
    most_nests: int | None = None
    site: str = ""


@dataclass(frozen=True)
class Dig:
    """What a permit is held against. `day` is EDTF, `earliest` and `latest` its days; `nth` nest under the permit."""

    day: str = ""
    earliest: date | None = None
    latest: date | None = None
    site: str = ""
    nth: int = 1
    written: bool = False


@dataclass(frozen=True)
class LeaveNote:
    """`firm`: it lies outside, and wants a reason in writing; else it cannot be told."""

    sentence: str
    firm: bool = True


def permit_notes(leave: Leave, dig: Dig) -> list[LeaveNote]:
    """Where a dig lies outside a permit: in days, in place, in number."""
    return [*_outside_days(leave, dig), *_elsewhere(leave, dig), *_too_many(leave, dig)]


def _outside_days(leave: Leave, dig: Dig) -> list[LeaveNote]:
    if not (leave.from_on or leave.until_on) or not (dig.earliest or dig.latest):
        return []
    named, span, words = say.capital(leave.named), _span(leave), in_words(dig.day)
    after = leave.until_on and dig.earliest and dig.earliest > leave.until_on
    before = leave.from_on and dig.latest and dig.latest < leave.from_on
    if after or before:
        return [LeaveNote(f"{named} runs {span}; the dig lies outside it: {words}.")]
    begins_in = not leave.from_on or bool(dig.earliest and dig.earliest >= leave.from_on)
    ends_in = not leave.until_on or bool(dig.latest and dig.latest <= leave.until_on)
    if begins_in and ends_in:
        return []
    return [LeaveNote(f"{named} runs {span}; whether the dig lies in it cannot be told from “{words}”.", firm=False)]


def _span(leave: Leave) -> str:
    parts = [f"from {say.day(leave.from_on)}"] if leave.from_on else []
    return " ".join([*parts, f"until {say.day(leave.until_on)}"] if leave.until_on else parts)


def _elsewhere(leave: Leave, dig: Dig) -> list[LeaveNote]:
    if not leave.site or not dig.site or leave.site == dig.site:
        return []
    return [LeaveNote(f"{say.capital(leave.named)} is for {leave.site}; the dig is at {dig.site}.")]


def _too_many(leave: Leave, dig: Dig) -> list[LeaveNote]:
    if leave.most_nests is None or dig.nth <= leave.most_nests:
        return []
    verb, most = ("is" if dig.written else "would be"), say.number_word(leave.most_nests)
    return [LeaveNote(f"This {verb} the {ordinal(dig.nth)} nest under a permit for {most}.")]


def ordinal(n: int) -> str:
    """third, tenth, 11th, 22nd"""
    if 1 <= n <= 10:
        return _ORDINALS[n]
    end = "th" if 10 <= n % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(n % 10, "th")
    return f"{n}{end}"


def hinders_recording(notes: Iterable[LeaveNote], exception: str) -> list[Reason]:
    """A dig outside its permit is written only with the reason why it is written all the same."""
    firm = [note.sentence for note in notes if note.firm]
    if not firm or exception.strip():
        return []
    asked = "Write why it is recorded all the same, or put the permit, the day or the site right."
    return [Reason(f"{' '.join(firm)} {asked}", "permit_exception")]


# what is written


def wrong_days(name: str, earliest: date | None, today: date) -> list[Reason]:
    """What happened has happened: no day that has not come yet."""
    if earliest is None or earliest <= today:
        return []
    return [Reason(f"{say.day(earliest)} has not come yet. Write when it was.", name, said=earliest.isoformat())]


def number_year(earliest: date | None, latest: date | None, today: date) -> int:
    """The year that a dig is numbered in: of the dig where one year is certain, else of the writing."""
    return earliest.year if earliest and latest and earliest.year == latest.year else today.year


def lacks_of_dig(*, day: str, people: bool, placed: bool) -> list[str]:
    """What a dig still lacks, as words of one sentence."""
    there = {"day": bool(day), "people": people, "place": placed}
    return [f"no {what}" for what, is_there in there.items() if not is_there]


def bag_sentence(n: int, n_open: int) -> str:
    """How the bags of a dig stand, in a sentence; empty where it has none."""
    if not n:
        return ""
    if not n_open:
        return "Every bag is accounted for."
    verb = "waits" if n_open == 1 else "wait"
    return f"{say.capital(say.plural(n_open, 'bag'))} of {say.number_word(n)} {verb} to be inventoried or written off."


def wrong_code(code: str, what: str, *, borne_by: str = "") -> list[Reason]:
    """A code is a label: short, without blanks, with a figure in it, borne by nothing else."""
    if not code or len(code) > 20 or not all(c.isascii() and (c.isalnum() or c in ".-_") for c in code):
        return [Reason("A code has 1 to 20 letters, figures, dots or hyphens: Z-4, P-11.", "code", said=code)]
    if not any(c.isdigit() for c in code):
        return [Reason("A code has a figure in it, so that no word is taken for one: Z-4.", "code", said=code)]
    if borne_by:
        return [Reason(f"{code} is {borne_by} already. Give {what} another code.", "code", said=code)]
    return []


def hinders_material(material: str, lot: str, lot_material: str) -> list[Reason]:
    """A pour is of what its lot is of."""
    if not material:
        return [Reason("Say what was poured.", "material")]
    if lot and material != lot_material:
        sentence = f"{lot} is {lot_material}, not {material}. Choose another lot, or put the material right."
        return [Reason(sentence, "material", said=material)]
    return []


# bags


def hinders_tying(code: str, *, tied_to: str, lift: str, outcome: str) -> list[Reason]:
    """A bag belongs to one lift for good."""
    if outcome:
        return [Reason(f"{code} is closed already: {outcome}. Take another bag.", "bags", said=code)]
    if tied_to and tied_to != lift:
        return [Reason(f"{code} is tied to {tied_to} already. Take another bag.", "bags", said=code)]
    return []


def hinders_closing(
    code: str, outcome: str, *, ground: str, tied: bool, tied_on: date | None, closed_as: str, on: date, today: date
) -> list[Reason]:
    """Every bag ends once: its pieces are listed, or it is written off with the reason."""
    found = []
    if closed_as:
        found.append(Reason(f"{code} is closed already: {closed_as}.", "outcome"))
    if outcome == "inventoried" and not tied:
        found.append(Reason(f"{code} was never tied to a lift, so it holds nothing to list.", "outcome"))
    if outcome == "written off" and not ground.strip():
        found.append(Reason("Write why it is written off: torn, lost, empty.", "ground"))
    if on > today:
        found.append(Reason(f"{say.day(on)} has not come yet. Write today or an earlier day.", "closed_on"))
    if tied_on and on < tied_on:
        found.append(Reason(f"{code} was tied on {say.day(tied_on)}. Write that day or a later one.", "closed_on"))
    return found


def hinders_making_bags(n: int) -> list[Reason]:
    if 1 <= n <= MOST_BAGS:
        return []
    return [Reason(f"From 1 to {MOST_BAGS} at once.", "n", said=str(n))]


# figures


def wrong_depths(from_cm: Decimal | None, to_cm: Decimal | None) -> list[Reason]:
    """A lift goes from the shallower depth to the deeper one."""
    if from_cm is None or to_cm is None or from_cm <= to_cm:
        return []
    sentence = f"A lift goes from the shallower depth to the deeper one: from {to_cm.normalize():f} to {from_cm.normalize():f}?"
    return [Reason(sentence, "to_cm", said=str(to_cm))]


def wrong_figures(depth_cm: Decimal | None, bearing_deg: Decimal | None, bearing_is: str) -> list[Reason]:
    """Of a dig: a depth is not below zero, a bearing lies on the compass and says which north it is of."""
    found = []
    if depth_cm is not None and depth_cm < 0:
        found.append(Reason("A depth cannot be below zero.", "depth_cm", said=str(depth_cm)))
    if bearing_deg is not None and not 0 <= bearing_deg <= 360:
        found.append(Reason("A bearing is from 0 to 360 degrees.", "bearing_deg", said=str(bearing_deg)))
    if bearing_deg is not None and not bearing_is:
        found.append(Reason("Say whether the bearing is magnetic or true, or that it is not known.", "bearing_is"))
    return found
