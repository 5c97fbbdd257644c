"""Instruments and their calibrations."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.collection import today
from catalog.ground.ids import as_uid
from catalog.ground.members import ExactDay
from catalog.ground.roles import Actor
from catalog.measurements import actions, reads
from catalog.measurements.filters import InstrumentFilter
from catalog.measurements.models import Calibration, Instrument

FIGURES = ("resolution", "repeatability", "linearity", "most")


def _figure() -> Any:
    return serializers.DecimalField(max_digits=12, decimal_places=6, required=False, allow_null=True)


class InstrumentChanges(Strict):
    """What is known of it: in grams for a balance, in millimetres for what measures lengths."""

    what = serializers.CharField(max_length=200, required=False, allow_blank=True)
    resolution = _figure()
    repeatability = _figure()
    linearity = _figure()
    most = _figure()
    oiml_class = serializers.ChoiceField(Instrument.CLASSES, required=False, allow_blank=True)
    note = serializers.CharField(max_length=2000, required=False, allow_blank=True)
    out_of_use_since = serializers.DateField(required=False, allow_null=True)


class InstrumentSaid(InstrumentChanges):
    code = serializers.CharField(max_length=20)
    kind = serializers.ChoiceField(Instrument.KINDS)


class InstrumentShown(InstrumentSaid):
    """`in_date`: empty where its calibration holds today, else what is wrong."""

    uid = serializers.UUIDField()
    in_date = serializers.CharField()
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Instruments", responses=InstrumentShown(many=True)),
    retrieve=extend_schema(summary="One instrument, by its name or uid", responses=InstrumentShown),
)
class Instruments(Resource):
    """Balances, callipers, rules: what values were measured with."""

    acts = {"GET": "record.read", "POST": "instrument.write", "PATCH": "instrument.write"}
    sorts = {"code": "code", "id": "id"}
    sort = "code"
    number_field = "code"
    filterset_class = InstrumentFilter
    serializer_class = InstrumentShown
    queryset = Instrument.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.instruments(reader)

    def show(self, record: Any) -> dict[str, Any]:
        names = ("code", "kind", "what", *FIGURES, "oiml_class", "note", "out_of_use_since", "version")
        found = reads.in_date_of(list(record.calibrations.all()), today())
        return {"uid": str(record.uid), **{n: getattr(record, n) for n in names}, "in_date": found}

    @extend_schema(request=InstrumentSaid, responses={201: InstrumentShown}, summary="A new instrument")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(InstrumentSaid)
        new = actions.add_instrument(self.actor, said.pop("code"), said.pop("kind"), **said)
        return made(self.show(new), f"/api/v1/instruments/{new.code}/", etag_of(new))

    @extend_schema(request=InstrumentChanges, responses=InstrumentShown, summary="Change an instrument (with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        found, version = self.one(number), self.seen_version()
        said = self.said(InstrumentChanges, partial=True)
        now = actions.change_instrument(self.actor, found.pk, said, expected_version=version)
        return Response(self.show(now), headers={"ETag": etag_of(now)})


class CalibrationSaid(Strict):
    """`u` is expanded by `k`, as a certificate states it. `passed` false: it failed, fell or was adjusted."""

    instrument = serializers.CharField(max_length=20)
    on = ExactDay()
    due_on = serializers.DateField(required=False, allow_null=True)
    passed = serializers.BooleanField(required=False)
    u = _figure()
    k = serializers.DecimalField(max_digits=4, decimal_places=2, required=False, allow_null=True)
    paper = serializers.CharField(max_length=200, required=False, allow_blank=True)
    note = serializers.CharField(max_length=300, required=False, allow_blank=True)


class CalibrationShown(CalibrationSaid):
    uid = serializers.UUIDField()


class Calibrations(Resource):
    """What a certificate says of an instrument; never changed."""

    acts = {"GET": "record.read", "POST": "calibration.write"}
    sorts = {"on": "on", "id": "id"}
    sort = "-on"
    number_field = "uid"
    serializer_class = CalibrationShown
    queryset = Calibration.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return Calibration.objects.select_related("instrument")

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return rows.filter(uid=as_uid(number)).first() if as_uid(number) else None

    def show(self, record: Any) -> dict[str, Any]:
        names = ("on", "due_on", "passed", "u", "k", "paper", "note")
        return {"uid": str(record.uid), "instrument": record.instrument.code, **{n: getattr(record, n) for n in names}}

    @extend_schema(request=CalibrationSaid, responses={201: CalibrationShown}, summary="A calibration of an instrument")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(CalibrationSaid)
        instrument = reads.instrument_at(self.actor, said.pop("instrument"))
        if said.get("u") is not None and said.get("k") is None:
            said["k"] = Decimal(2)
        new = actions.calibrate(self.actor, instrument, said.pop("on"), **said)
        return made(self.show(new), f"/api/v1/calibrations/{new.uid}/")
