"""The kinds of member that this room's serializers share."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from rest_framework import serializers

from catalog.ground.collection import collection
from registry.accessions.rules import money_in


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
