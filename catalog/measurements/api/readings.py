"""The stream of a balance: what it reads, without saying for what. Each waits for the row of an open tray."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import Resource, Strict, made
from catalog.ground.ids import as_uid
from catalog.ground.members import Figure
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.measurements import actions
from catalog.measurements.api.weighings import plain, spoken_by
from catalog.measurements.filters import ReadingFilter
from catalog.measurements.models import BalanceReading


class ReadingSaid(Strict):
    """`key`: the balance's own name of the reading; the same one again is the same reading. `mass_g`: what stood still on the pan."""

    instrument = serializers.CharField(max_length=20, required=False, allow_blank=True)
    key = serializers.CharField(max_length=64)
    mass_g = Figure("g", "mass", least=None, required=True, allow_null=False)
    at = serializers.DateTimeField(required=False, allow_null=True)


class ReadingShown(serializers.Serializer[Any]):
    """`cursor` goes into `after` to ask for what came later."""

    uid = serializers.UUIDField()
    cursor = serializers.IntegerField()
    instrument = serializers.CharField()
    key = serializers.CharField()
    mass_g = serializers.DecimalField(max_digits=12, decimal_places=4)
    at = serializers.DateTimeField()


@extend_schema_view(
    list=extend_schema(summary="What balances sent", responses=ReadingShown(many=True)),
    retrieve=extend_schema(summary="One reading, by uid", responses=ReadingShown),
)
class Readings(Resource):
    """What balances sent for the row that waits."""

    acts = {"GET": "record.read", "POST": "measurement.post"}
    number_field = "uid"
    filterset_class = ReadingFilter
    serializer_class = ReadingShown
    queryset = BalanceReading.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return BalanceReading.objects.select_related("instrument")

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        uid = as_uid(number)
        return rows.filter(uid=uid).first() if uid else None

    def show(self, record: Any) -> dict[str, Any]:
        return {
            "uid": str(record.uid),
            "cursor": record.pk,
            "instrument": record.instrument.code,
            "key": record.key,
            "mass_g": plain(record.mass_g),
            "at": record.at,
        }

    @extend_schema(request=ReadingSaid, responses={201: ReadingShown}, summary="A balance sends what it reads")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(ReadingSaid)
        instrument = spoken_by(self.actor, said.get("instrument", ""))
        if instrument is None:
            raise Refusal(Reason("Say which balance it was.", "instrument"))
        new = actions.keep_reading(self.actor, instrument, said["key"], said["mass_g"], at=said.get("at"))
        return made(self.show(new), f"/api/v1/readings/{new.uid}/")
