"""The kinds of member that this room's serializers share."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from rest_framework import serializers

from catalog.ground.collection import collection, today
from catalog.ground.edtf import from_words, read_edtf
from registry.accessions.rules import money_in


class ExactDay(serializers.CharField):
    """One day: `2026-11-20`, or words such as `20 November 2026`."""

    def to_internal_value(self, data: Any) -> date:  # type: ignore[override]
        try:
            span = read_edtf(
                from_words(super().to_internal_value(data), today=today(), day_first=True, past_only=False)
            )
        except ValueError as error:
            raise serializers.ValidationError(str(error)) from None
        if span.earliest is None or span.precision != "day" or span.uncertain or span.approximate:
            raise serializers.ValidationError("Here the exact day is wanted. Write it as 2026-11-20.")
        return span.earliest


class Money(serializers.CharField):
    """`250`, `250 EUR`: an amount and its currency, the collection's own if none is written."""

    def to_internal_value(self, data: Any) -> tuple[Decimal, str]:  # type: ignore[override]
        try:
            return money_in(super().to_internal_value(data), collection().currency)
        except ValueError as error:
            raise serializers.ValidationError(str(error)) from None


class Count(serializers.IntegerField):
    """A whole number in figures, also as text of a form; true and false are none."""

    def to_internal_value(self, data: Any) -> int:
        if isinstance(data, bool) or (
            isinstance(data, str) and not (data.strip().isascii() and data.strip().lstrip("-").isdigit())
        ):
            raise serializers.ValidationError("Write a whole number in figures, such as 3.")
        return super().to_internal_value(data.strip() if isinstance(data, str) else data)


def words(most: int, **more: Any) -> serializers.CharField:
    """Text that may be left out."""
    return serializers.CharField(max_length=most, required=False, allow_blank=True, **more)
