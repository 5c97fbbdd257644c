"""The kinds of member that this room's serializers share, and how names become records."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from catalog.excavations import reads
from catalog.excavations.models import MaterialLot, Permit, Site
from catalog.ground.api import Resource, as_uid
from catalog.ground.collection import collection, today
from catalog.ground.edtf import from_words, read_edtf
from catalog.ground.figures import read_amount
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.people.models import Person


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


def words(most: int, **more: Any) -> serializers.CharField:
    """Text that may be left out."""
    return serializers.CharField(max_length=most, required=False, allow_blank=True, **more)


def named(**more: Any) -> serializers.CharField:
    """The name, number or uid of another record; null or empty for none."""
    return serializers.CharField(max_length=200, required=False, allow_null=True, allow_blank=True, **more)


def shown(person: Person | None) -> str | None:
    return person.name if person else None


# from what was sent to records


def person_of(said: dict[str, Any], name: str) -> None:
    """The name, uid or key of a person becomes the person."""
    if name in said:
        words = said[name] or ""
        found = reads.person_meant(words) if words else None
        if words and found is None:
            raise Refusal(Reason("This is nobody we know. Add the person first.", name, said=words))
        said[name] = found


def site_of(actor: Actor, said: dict[str, Any]) -> None:
    """By name or uid."""
    _found(said, "site", reads.visible(actor, Site), "name", "This is not a site of ours. Write the site first.")


def paper_of(actor: Actor, said: dict[str, Any], name: str) -> None:
    """A permit or consent by its number or uid."""
    _found(said, name, reads.visible(actor, Permit), "number", "This is not a paper of ours. Write it first.")


def lot_of(actor: Actor, said: dict[str, Any]) -> None:
    """By code or uid."""
    _found(said, "lot", reads.visible(actor, MaterialLot), "code", "This is not a lot of ours.")


def _found(said: dict[str, Any], name: str, rows: QuerySet[Any], column: str, sentence: str) -> None:
    if name not in said:
        return
    words = (said[name] or "").strip()
    uid: UUID | None = as_uid(words)
    found = (rows.filter(uid=uid) if uid else rows.filter(**{f"{column}__iexact": words})).first() if words else None
    if words and found is None:
        raise Refusal(Reason(sentence, name, said=words))
    said[name] = found


def whole(resource: Resource, record: Any, mark: str) -> Any:
    """The record with what its rows carry beside it (`mark` is one of them); read anew where it came bare."""
    return record if hasattr(record, mark) else resource.rows(resource.actor).get(pk=record.pk)


class ByUid(Resource):
    """A noun that goes by its uid only."""

    number_field = "uid"

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        uid = as_uid(number)
        return rows.filter(uid=uid).first() if uid else None
