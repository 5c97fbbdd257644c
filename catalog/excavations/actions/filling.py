"""What every write here does with what is said: known fields only, texts and figures that can be kept, days that have come."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

from django.db import models

from catalog.excavations.rules import wrong_days
from catalog.ground import say
from catalog.ground.collection import collection, today
from catalog.ground.edtf import read_edtf
from catalog.ground.refusal import Reason, Refusal, refuse_if

_LONGEST_TEXT = 10_000


def fill(record: models.Model, said: Mapping[str, Any], fields: tuple[str, ...]) -> None:
    """Sets the named fields of a record; refuses what is unknown, too long, too large, no choice of it."""
    reasons: list[Reason] = []
    for name, value in said.items():
        if name not in fields:
            raise AssertionError(f"no field to be said: {name}")
        column = record._meta.get_field(name)
        kept, wrong = _kept(column, value)
        reasons += [Reason(wrong, name, said=str(value)[:200])] if wrong else []
        setattr(record, name, kept)
    refuse_if(reasons, Refusal)


def _kept(column: Any, value: Any) -> tuple[Any, str]:
    if isinstance(column, models.DecimalField):
        return (None, "") if value is None else _figure(column, Decimal(value))
    if isinstance(column, models.TextField | models.CharField):
        return _text(column, str(value or "").strip())
    if isinstance(column, models.PositiveSmallIntegerField) and value is not None and not 0 <= value <= 32_767:
        return None, "Write a whole number from 0 to 32 767."
    return value, ""


def _text(column: Any, value: str) -> tuple[str, str]:
    most = column.max_length or _LONGEST_TEXT
    if len(value) > most:
        return value, f"Shorten this to {say.figure(most)} letters; it has {say.figure(len(value))}."
    if value and column.choices and value not in dict(column.flatchoices):
        return value, f"Choose one of these: {', '.join(words for _, words in column.flatchoices)}."
    return value, ""


def _figure(column: Any, value: Decimal) -> tuple[Decimal | None, str]:
    """Rounded to what the column keeps: a milligram, a tenth of a millimetre."""
    most = Decimal(10) ** (column.max_digits - column.decimal_places)
    if not value.is_finite() or abs(value) >= most:
        return None, f"That is more than can be kept here: write less than {say.figure(most)}, and compare the unit."
    kept = value.quantize(Decimal(1).scaleb(-column.decimal_places), ROUND_HALF_EVEN)
    if kept < 0 and column.validators and any(getattr(v, "limit_value", None) == 0 for v in column.validators):
        return None, "A mass cannot be below zero."
    return kept, ""


def days_of(text: str, name: str) -> tuple[date | None, date | None]:
    """The earliest and latest day of an EDTF text about something that has happened."""
    if not text:
        return None, None
    try:
        span = read_edtf(text, south=collection().south)
    except ValueError as error:
        raise Refusal(Reason(str(error), name, said=text)) from None
    refuse_if(wrong_days(name, span.earliest, today()), Refusal)
    return span.earliest, span.latest


def day_of(text: str, name: str) -> date:
    """One day for a ledger: the latest that the text allows, today at most."""
    _, latest = days_of(text, name)
    return min(latest or today(), today())
