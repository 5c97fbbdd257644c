"""Figures and days as the API of this room takes them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from rest_framework import serializers

from catalog.casts.models import BreakFace
from catalog.casts.reads.casts import subject_of
from catalog.casts.reads.refitting import face_at
from catalog.casts.subject import Subject
from catalog.ground.collection import today
from catalog.ground.edtf import from_words
from catalog.ground.figures import read_amount
from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from catalog.people.reads import person_meant


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


def not_ours(absent: NotFound, field: str, said: str) -> Refusal:
    """What was named in a body and is not ours is the body's fault, at its field, not the address's."""
    return Refusal(Reason(str(absent), field, said=said))


def face_said(actor: Actor, text: str, field: str) -> BreakFace:
    """The face that `2016.1.4/a` means, or a refusal at its field."""
    try:
        return face_at(actor, text)
    except NotFound as absent:
        raise not_ours(absent, field, text) from None


def subject_said(actor: Actor, text: str, field: str) -> Subject:
    """The cast or piece of this number, or a refusal at its field."""
    try:
        return subject_of(actor, text)
    except NotFound as absent:
        raise not_ours(absent, field, text) from None


def by_said(said: dict[str, Any], field: str = "by") -> dict[str, Any]:
    """The same with `by` as the person of that name or public id; left out where nothing was said."""
    words = said.pop(field, "") or ""
    if not words:
        return said
    person = person_meant(words)
    if person is None:
        raise Refusal(Reason("We know nobody of this name. Add the person first.", field, said=words))
    return said | {field: person}
