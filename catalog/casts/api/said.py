"""Figures and days as the API of this room takes them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from rest_framework import serializers

from catalog.ground.collection import today
from catalog.ground.edtf import from_words
from catalog.ground.figures import read_amount


class MassField(serializers.Field[Any, Any, Any, Any]):
    """A figure in grams, or text with a unit such as `1,5 kg`."""

    unit, what = "g", "mass"

    def to_internal_value(self, data: Any) -> Decimal | None:
        if isinstance(data, bool) or not isinstance(data, (int, Decimal, str)):
            raise serializers.ValidationError(f"Write the {self.what} in {self.unit}, such as 12.5.")
        try:
            return read_amount(
                str(data), unit=self.unit, what=self.what, decimal_comma=None if isinstance(data, str) else False
            ).value
        except ValueError as error:
            raise serializers.ValidationError(str(error)) from None

    def to_representation(self, value: Any) -> Any:
        return value


class LengthField(MassField):
    unit, what = "mm", "length"


class UncertainDay(serializers.CharField):
    """EDTF, or words such as `about 1987`; kept as EDTF. What has not come yet is refused."""

    def to_internal_value(self, data: Any) -> str:
        try:
            return from_words(super().to_internal_value(data), today=today())
        except ValueError as error:
            raise serializers.ValidationError(str(error)) from None
