"""Instruments and whether their calibration holds on a day."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from catalog.ground import say
from catalog.ground.refusal import Reason

_CODE = re.compile(r"[A-Za-z][A-Za-z0-9]*(-[A-Za-z0-9]+)*")
IN_DATE, NONE, OVERDUE, DOUBT = "", "uncalibrated", "calibration overdue", "calibration in doubt"


@dataclass(frozen=True)
class CalibrationFacts:
    """One calibration: its day, until when it holds, whether the instrument passed."""

    on: date
    due_on: date | None = None
    passed: bool = True


def in_date(calibrations: Sequence[CalibrationFacts], day: date) -> str:
    """Whether an instrument was in date on that day: empty when it was, else the word for what is wrong.

    The newest one on or before the day decides; what failed, fell or was adjusted puts all since in doubt.
    """
    before = [c for c in calibrations if c.on <= day]
    if not before:
        return NONE
    # of two on one day the one that puts it in doubt counts
    newest = max(before, key=lambda c: (c.on, not c.passed))
    if not newest.passed:
        return DOUBT
    return OVERDUE if newest.due_on and day > newest.due_on else IN_DATE


def hinders_instrument(code: str, *, taken: bool, figures: Mapping[str, Any]) -> list[Reason]:
    """A short name with a letter in front, borne once; what it shows and may be off by is above zero."""
    found = []
    if not _CODE.fullmatch(code) or len(code) > 20:
        sentence = "The name of an instrument begins with a letter, at most 20 letters, figures and hyphens: Bal-2."
        found.append(Reason(sentence, "code", said=code))
    elif taken:
        found.append(Reason(f"{code} is on record already.", "code", said=code))
    for name, value in figures.items():
        least = 0 if name in ("repeatability", "linearity") else Decimal("1e-6")
        if value is not None and not least <= value < 1_000_000:
            found.append(Reason("Write a figure above zero.", name, said=str(value)))
    return found


def hinders_calibration(
    on: date, *, due_on: date | None, today: date, u: Decimal | None, k: Decimal | None
) -> list[Reason]:
    """It was done by today, holds from then on, and says how far with its factor."""
    found = []
    if on > today:
        found.append(Reason("This day has not come yet. Write when it was calibrated.", "on", said=on.isoformat()))
    if due_on and due_on < on:
        found.append(Reason(f"That is before it was calibrated, on {say.day(on)}.", "due_on", said=due_on.isoformat()))
    if u is not None and not 0 <= u < 1_000_000:
        found.append(Reason("Write what the certificate states, not below zero.", "u", said=str(u)))
    if k is not None and not 0 < k <= 10:
        found.append(Reason("The factor of a certificate is mostly 2.", "k", said=str(k)))
    return found
