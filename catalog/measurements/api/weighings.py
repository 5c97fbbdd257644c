"""Weighings as the API reads and writes them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts.models import MASS_STATES
from catalog.casts.reads import subject_of
from catalog.ground.api import Resource, Strict, made
from catalog.ground.ids import as_uid
from catalog.ground.members import Figure
from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from catalog.measurements import actions, reads
from catalog.measurements.filters import WeighingFilter
from catalog.measurements.models import Instrument, Measurement
from catalog.people.models import Person
from catalog.people.reads import person_meant


class WeighingSaid(Strict):
    """`mass_g` is net; or `gross_g`, from which `tare_g` is taken off. `key`: the instrument's own name of the reading.

    `replaces`: uid of an earlier weighing that was a mistake. Without it both stand, each with its time and state.
    """

    of = serializers.CharField(max_length=200)
    mass_g = Figure("g", "mass", least=None)
    gross_g = Figure("g", "mass", least=None)
    tare_g = Figure("g", "tare")
    tare_of = serializers.CharField(max_length=120, required=False, allow_blank=True)
    mass_u_g = Figure("g", "uncertainty")
    state = serializers.ChoiceField(MASS_STATES, required=False, allow_blank=True)
    instrument = serializers.CharField(max_length=20, required=False, allow_blank=True)
    key = serializers.CharField(max_length=64, required=False, allow_blank=True)
    at = serializers.DateTimeField(required=False, allow_null=True)
    by = serializers.CharField(max_length=200, required=False, allow_blank=True)
    replaces = serializers.UUIDField(required=False, allow_null=True)
    note = serializers.CharField(max_length=300, required=False, allow_blank=True)


class WeighingShown(serializers.Serializer[Any]):
    """`mass_u_g`: one standard uncertainty; `flags`: what is incomplete about it. `replaced`: a later one stands in its place."""

    uid = serializers.UUIDField()
    of = serializers.CharField()
    kind = serializers.ChoiceField(["cast", "piece", "crumbs"])
    mass_g = serializers.DecimalField(max_digits=14, decimal_places=4)
    mass_u_g = serializers.DecimalField(max_digits=14, decimal_places=6, allow_null=True)
    flags = serializers.ListField(child=serializers.CharField())
    state = serializers.CharField()
    tare_g = serializers.DecimalField(max_digits=14, decimal_places=4, allow_null=True)
    tare_of = serializers.CharField()
    instrument = serializers.CharField(allow_null=True)
    key = serializers.CharField()
    at = serializers.DateTimeField()
    by = serializers.CharField(allow_null=True)
    replaces = serializers.UUIDField(allow_null=True)
    replaced = serializers.BooleanField()
    note = serializers.CharField()
    written_at = serializers.DateTimeField()


def plain(value: Decimal | None) -> Decimal | None:
    """The figure without the noughts that the column added."""
    if value is None:
        return None
    exponent = value.normalize().as_tuple().exponent
    return value.quantize(Decimal(1)) if isinstance(exponent, int) and exponent > 0 else value.normalize()


@extend_schema_view(
    list=extend_schema(summary="Weighings", responses=WeighingShown(many=True)),
    retrieve=extend_schema(summary="One weighing, by uid", responses=WeighingShown),
)
class Weighings(Resource):
    """What was weighed. A weighing is never changed; a later one may replace it."""

    acts = {"GET": "record.read", "POST": "measurement.post"}
    sorts = {"at": "at", "mass_g": "value", "id": "id"}
    sort = "-at"
    number_field = "uid"
    filterset_class = WeighingFilter
    serializer_class = WeighingShown
    queryset = Measurement.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.weighings(reader)

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        uid = as_uid(number)
        return rows.filter(uid=uid).first() if uid else None

    def show(self, record: Any) -> dict[str, Any]:
        return {
            "uid": str(record.uid),
            "of": str(record.thing),
            "kind": "crumbs" if record.crumbs_id else "piece" if record.piece_id else "cast",
            "mass_g": plain(record.value),
            "mass_u_g": plain(record.u),
            "flags": record.flags.split("; ") if record.flags else [],
            "state": record.state,
            "tare_g": plain(record.tare),
            "tare_of": record.tare_of,
            "instrument": record.instrument.code if record.instrument else None,
            "key": record.key,
            "at": record.at,
            "by": record.by.name if record.by else None,
            "replaces": str(record.replaces.uid) if record.replaces else None,
            "replaced": getattr(record, "replaced_by", None) is not None,
            "note": record.note,
            "written_at": record.written_at,
        }

    @extend_schema(request=WeighingSaid, responses={201: WeighingShown}, summary="Weigh a cast or a piece")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(WeighingSaid)
        subject = subject_of(self.actor, said["of"])
        mass, tare = _net(said)
        new = actions.weigh(
            self.actor,
            subject,
            mass,
            tare_g=tare,
            u_g=said.get("mass_u_g"),
            at=said.get("at"),
            by=who(self.actor, said.get("by", "")),
            instrument=spoken_by(self.actor, said.get("instrument", "")),
            replaces=self._replaced(said.get("replaces")),
            **{n: said.get(n, "") for n in ("state", "key", "tare_of", "note")},
        )
        shown = self.show(reads.weighings_all().get(pk=new.pk))
        return made(shown, f"/api/v1/weighings/{new.uid}/")

    def _replaced(self, uid: Any) -> Measurement | None:
        if not uid:
            return None
        found = self.find_one(self.get_queryset(), str(uid))
        if found is None:
            raise Refusal(Reason("That is not a weighing of ours.", "replaces", said=str(uid)))
        return found  # type: ignore[no-any-return]


def _net(said: dict[str, Any]) -> tuple[Decimal, Decimal | None]:
    """Net mass and tare. One of `mass_g` and `gross_g` is said."""
    mass, gross, tare = said.get("mass_g"), said.get("gross_g"), said.get("tare_g")
    if (mass is None) == (gross is None):
        raise Refusal(Reason("Send mass_g, or gross_g with its tare_g.", "mass_g"))
    return (gross - (tare or Decimal(0)), tare) if mass is None else (mass, tare)  # type: ignore[operator]


def who(reader: Actor, words: str) -> Person | None:
    """Who weighed it: whoever was named, else who sends it, if it is a person's own hand or token."""
    if words.strip():
        found = person_meant(words)
        if found is None:
            raise Refusal(Reason(f"“{words[:60]}” is not one person on record here.", "by", said=words[:60]))
        return found
    return Person.objects.filter(pk=reader.person_id).first() if reader.person_id else None


def spoken_by(reader: Actor, code: str) -> Instrument | None:
    """The instrument that is named. A token of one instrument speaks for that one only, and need not name it."""
    own = reads.instrument_of_token(reader)
    if own and code.strip() and code.strip().casefold() != own.casefold():
        raise NotFound(f"This token speaks for {own}, not for {code[:20]}.")
    return reads.instrument_said(code or own)
