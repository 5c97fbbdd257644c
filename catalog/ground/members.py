"""The kinds of member that the serializers of several rooms share: figures, days, dates with their bounds."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from catalog.ground.collection import collection, today
from catalog.ground.edtf import from_words, read_edtf
from catalog.ground.figures import read_amount


@extend_schema_field({"oneOf": [{"type": "number"}, {"type": "string"}], "example": "1.5 kg"})
class Figure(serializers.Field[Any, Any, Any, Any]):
    """A figure in the unit of its name, or text with a unit such as `1,5 kg`."""

    def __init__(self, unit: str, what: str, *, least: Decimal | None = Decimal(0), **rest: Any) -> None:
        self.unit, self.what, self.least = unit, what, least
        super().__init__(**{"required": False, "allow_null": True, **rest})

    def to_internal_value(self, data: Any) -> Decimal:
        if isinstance(data, bool) or not isinstance(data, (int, Decimal, str)):
            raise serializers.ValidationError(f"Write the {self.what} in {self.unit}, such as 12.5.")
        comma = collection().decimal_comma if isinstance(data, str) else False
        try:
            return read_amount(str(data), unit=self.unit, what=self.what, decimal_comma=comma, least=self.least).value
        except ValueError as error:
            raise serializers.ValidationError(str(error)) from None

    def to_representation(self, value: Any) -> Any:
        return value


class UncertainDay(serializers.CharField):
    """EDTF, or words such as `about 1987`; kept as EDTF. What has not come yet is refused."""

    def __init__(self, **rest: Any) -> None:
        super().__init__(**{"required": False, "allow_blank": True, "max_length": 60, **rest})

    def to_internal_value(self, data: Any) -> str:
        ours = collection()
        try:
            said = super().to_internal_value(data)
            return from_words(said, today=today(), day_first=ours.day_first, south=ours.south)
        except ValueError as error:
            raise serializers.ValidationError(str(error)) from None


@extend_schema_field(OpenApiTypes.DATE)
class ExactDay(serializers.CharField):
    """One day: `2026-11-20`, or words such as `20 November 2026`."""

    def to_internal_value(self, data: Any) -> date:  # type: ignore[override]
        try:
            said = super().to_internal_value(data)
            span = read_edtf(from_words(said, today=today(), day_first=True, past_only=False))
        except ValueError as error:
            raise serializers.ValidationError(str(error)) from None
        if span.earliest is None or span.precision != "day" or span.uncertain or span.approximate:
            raise serializers.ValidationError("Here the exact day is wanted. Write it as 2026-11-20.")
        return span.earliest


class Days(serializers.Serializer[Any]):
    """An uncertain date with its bounds."""

    edtf = serializers.CharField()
    earliest = serializers.DateField(allow_null=True)
    latest = serializers.DateField(allow_null=True)


def days(text: str) -> dict[str, Any]:
    span = read_edtf(text, south=collection().south) if text else None
    return {"edtf": text, "earliest": span.earliest if span else None, "latest": span.latest if span else None}
