"""Instruments, and what their calibration says on a day."""

from __future__ import annotations

from datetime import date

from django.db.models import QuerySet

from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.measurements import budget, rules
from catalog.measurements.models import Calibration, Instrument
from catalog.people.models import Token


def instruments(reader: Actor) -> QuerySet[Instrument]:
    return visible_to(reader, Instrument.objects.prefetch_related("calibrations__by"))


def instrument_at(reader: Actor, code: str) -> Instrument:
    found = instruments(reader).filter(code__iexact=code.strip()).first()
    if found is None:
        raise NotFound(f"“{code[:40]}” is not an instrument of ours.")
    return found


def instrument_said(code: str, field: str = "instrument") -> Instrument | None:
    """The instrument a form or the API names; None for no words, a Refusal where there is none of that name."""
    words = code.strip()
    if not words:
        return None
    found = Instrument.objects.filter(code__iexact=words).first()
    if found is None:
        sentence = f"“{words[:40]}” is not an instrument on record here. Write it as it stands on it, such as Bal-2."
        raise Refusal(Reason(sentence, field, "/instruments/", words[:40]))
    return found


def instrument_of_token(reader: Actor) -> str:
    """The instrument that this token belongs to; empty where it may speak for any."""
    if not reader.token_id:
        return ""
    return Token.objects.filter(pk=reader.token_id).values_list("instrument", flat=True).first() or ""


def listening(reader: Actor) -> list[Instrument]:
    """Balances in use, by name."""
    return list(instruments(reader).filter(kind="balance", out_of_use_since__isnull=True).order_by("code")[:20])


def _calibration(instrument: Instrument, day: date) -> Calibration | None:
    return instrument.calibrations.filter(on__lte=day, passed=True).order_by("-on", "-pk").first()


def in_date(instrument: Instrument, day: date) -> str:
    """Empty where the calibration held on that day, else the word for what is wrong."""
    return in_date_of(list(instrument.calibrations.all()), day)


def in_date_of(calibrations: list[Calibration], day: date) -> str:
    """The same, of calibrations that were read already."""
    return rules.in_date([rules.CalibrationFacts(c.on, c.due_on, c.passed) for c in calibrations], day)


def balance_of(instrument: Instrument, day: date) -> budget.Balance | None:
    """What is known of a balance on that day; None where nobody wrote what it shows, or it is none."""
    if instrument.kind != "balance" or not instrument.resolution:
        return None
    held = _calibration(instrument, day)
    return budget.Balance(
        instrument.resolution,
        instrument.repeatability,
        instrument.linearity,
        held.u if held else None,
        held.k if held else None,
        instrument.most,
        instrument.oiml_class,
    )
