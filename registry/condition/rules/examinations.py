"""What an examination says, when it can be signed, and what is never better than what. Pure: facts in, sentences out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from catalog.ground.refusal import Reason
from catalog.ground.say import capital, day, listed, plural, with_unit
from registry.condition.said.examinations import ExaminationSaid, NewSaid
from registry.condition.states.damage import TERMS
from registry.condition.states.examinations import GRADES, REASONS

RANK = {grade: n for n, (grade, _) in enumerate(GRADES)}
_LONGEST = {"method": 300, "not_seen": 5000, "risk": 5000, "recommendation": 5000, "note": 5000}


@dataclass(frozen=True)
class Seen:
    """A finding as far as the rules need it."""

    n: int
    kind: str
    verdict: str
    grade: str = ""


def worst(grades: Iterable[str]) -> str:
    """The worst of these grades; "" where there is none."""
    return max((g for g in grades if g in RANK), key=lambda g: RANK[g], default="")


def wrong_examination(said: ExaminationSaid, *, today: date, made_from: date | None = None) -> list[Reason]:
    """Reasons against what was said, whether or not it is signed. `made_from`: the earliest day on which the cast can have been made."""
    found = _wrong_days(said, today, made_from)
    if said.reason not in dict(REASONS):
        found.append(Reason("Choose why it was examined.", "reason", said=said.reason[:40]))
    if said.grade and said.grade not in RANK:
        found.append(
            Reason(f"All in all it is one of these: {listed(list(RANK), 'or')}.", "grade", said=said.grade[:40])
        )
    found += [
        Reason(f"Shorten this to {most} letters; it has {len(getattr(said, name))}.", name)
        for name, most in _LONGEST.items()
        if len(getattr(said, name)) > most
    ]
    for at, one in enumerate(said.carried):
        if one.verdict not in ("as it was", "changed", "gone"):
            found.append(
                Reason("Say whether it is as it was, changed or gone.", f"carried/{at}/verdict", said=one.verdict[:40])
            )
        found += _wrong_facts(one, f"carried/{at}")
    for at, new in enumerate(said.new):
        found += wrong_new(new, f"new/{at}")
    return found


def _wrong_days(said: ExaminationSaid, today: date, made_from: date | None) -> list[Reason]:
    on = said.on or today
    found = []
    if on > today:
        found.append(
            Reason("This day has not come yet. Write the day on which you looked at it.", "on", said=on.isoformat())
        )
    if made_from and on < made_from:
        found.append(Reason(f"It was not made before {day(made_from)}. Write a later day.", "on", said=on.isoformat()))
    if said.next_due and said.next_due <= on:
        found.append(
            Reason(
                "The next examination is due after this one. Write a later day.",
                "next_due",
                said=said.next_due.isoformat(),
            )
        )
    return found


def wrong_new(new: NewSaid, at: str) -> list[Reason]:
    """Reasons against one new finding; `at` is the path of its fields."""
    found = _wrong_facts(new, at)
    if new.kind not in TERMS:
        found.insert(0, Reason("Choose which kind of damage it is.", f"{at}/kind", said=new.kind[:40]))
    if len(new.where) > 200:
        found.append(Reason(f"Shorten this to 200 letters; it has {len(new.where)}.", f"{at}/where"))
    return found


def _wrong_facts(one: Any, at: str) -> list[Reason]:
    found = []
    if one.grade and one.grade not in RANK:
        found.append(Reason(f"One of these: {listed(list(RANK), 'or')}.", f"{at}/grade", said=one.grade[:40]))
    if one.size_mm is not None and not 0 < one.size_mm < 100_000:
        found.append(
            Reason(
                "A size is above zero and below 100 m. Write it in millimetres.", f"{at}/size_mm", said=str(one.size_mm)
            )
        )
    if len(one.note) > 500:
        found.append(Reason(f"Shorten this to 500 letters; it has {len(one.note)}.", f"{at}/note"))
    return found


def hinders_examining(*, number: str, present: bool, closed_as: str) -> list[Reason]:
    """What no longer is there as one body is not looked at any more."""
    if closed_as:
        return [Reason(f"{number} is {closed_as}. There is nothing to examine any more.", "of")]
    return [] if present else [Reason(f"{number} is in parts now. Examine its parts.", "of")]


def hinders_signing(
    grade: str, findings: Sequence[Seen], open_numbers: Sequence[int], *, own: bool, examiner: str
) -> list[Reason]:
    """What stands in the way of signing: findings without an answer, no grade, a grade better than the worst finding."""
    found = []
    if not own:
        found.append(
            Reason(
                f"{examiner} signs what {examiner} has seen. Keep it unsigned; it waits on their page of today.", "by"
            )
        )
    if open_numbers:
        what = "Finding" if len(open_numbers) == 1 else "Findings"
        still = "is" if len(open_numbers) == 1 else "are"
        numbers = listed([str(n) for n in open_numbers])
        found.append(
            Reason(f"{what} {numbers} of the last time {still} still open: as it was, changed or gone?", "carried")
        )
    if not grade:
        found.append(Reason("Say how it is all in all.", "grade"))
    bad = [
        s for s in findings if s.verdict != "gone" and s.grade in RANK and grade in RANK and RANK[s.grade] > RANK[grade]
    ]
    if bad:
        one = max(bad, key=lambda s: RANK[s.grade])
        found.append(
            Reason(
                f"All in all it cannot be {grade}: finding {one.n}, {one.kind}, is {one.grade}. It is never better than its worst finding.",
                "grade",
                said=grade,
            )
        )
    return found


def sentence_signed(number: str, on: date) -> str:
    """What a signature says."""
    return f"I looked at {number} on {day(on)}, and what is written here is what I saw."


def summary(grade: str, verdicts: Sequence[str]) -> str:
    """`Fair. One new finding, two as they were.`"""
    said = []
    for verdict, (one, many) in {
        "new": ("new finding", "new findings"),
        "changed": ("changed", "changed"),
        "as it was": ("as it was", "as they were"),
        "gone": ("gone", "gone"),
    }.items():
        if n := sum(v == verdict for v in verdicts):
            said.append(plural(n, one, many))
    whole = capital(grade or "not graded yet")
    return f"{whole}. {capital(', '.join(said))}." if said else f"{whole}. No finding."


def finding_words(kind: str, size_mm: Any, where: str) -> str:
    """`Chip, 4 mm, second turn`"""
    size = with_unit(size_mm, "mm") if size_mm is not None else ""
    return ", ".join(p for p in (capital(kind), size, where) if p)


def hinders_deed(number: str, grade: str, on: date, deed: str) -> str:
    """Why the state of a thing forbids a deed; "" where it does not."""
    if grade == "unstable" and deed in ("lend", "mount", "touch"):
        return f"{number} cannot be {_DONE[deed]}: it loses material, as found on {day(on)}. Treat it, then examine it again."
    if grade == "poor" and deed == "lend":
        return (
            f"{number} cannot be lent: it is in a poor state, as found on {day(on)}. Treat it, then examine it again."
        )
    return ""


_DONE = {"lend": "lent", "mount": "mounted", "touch": "touched"}


def cautions(material: str, grade: str) -> list[tuple[str, str]]:
    """(icon, sentence) beside an examination. Common practice, no source."""
    found = [
        (
            "hand",
            "Look first, touch last: support what you turn, and lift the tray or the board, never a limb of the cast.",
        )
    ]
    if material in ("zinc", "aluminium"):
        found.append(
            ("caution", "Edges of cast metal cut. Wear gloves; white powder on the metal is not for the lungs.")
        )
    if material == "plaster":
        found.append(("caution", "Loose plaster dust is not for the lungs. Do not blow on it."))
    if material == "wax":
        found.append(("heat", "Lamps soften wax. Keep raking light cold and short."))
    if grade in ("poor", "unstable"):
        found.append(("carry", "It was found weak the last time. Do not lift it by yourself."))
    return found
