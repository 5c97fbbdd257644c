"""Rows of trays as the API reads and writes them: the door of the grid, of the outbox, and of other people's tools."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.http import HttpResponse
from django.utils import timezone
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts.models import Piece
from catalog.ground.api import Resource, Strict
from catalog.ground.collection import collection
from catalog.ground.ids import as_uid
from catalog.ground.refusal import Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.measurements.reads import instrument_said
from registry.places import actions, reads
from registry.places.filters import TrayRowFilter
from registry.places.models import TrayList, TrayRow
from registry.places.reads import trays as tray_reads
from registry.places.tray_rows import COLUMNS, read_row

_WORDS = {"note": 2000, "number": 40}


class TrayRowSaid(Strict):
    """One row, each cell as it would be typed: `mass_g` "86.4" or "1.2 kg", `depth` "80-88", `up` "yes" or "no".

    `row`: a UUID of the sender's making; the same one again is the same piece. `version`: of the piece as it was seen.
    `reading`: the balance's own name of the reading that fell into it. `made_at`: when a phone without signal kept it.
    """

    tray = serializers.CharField(max_length=20)
    row = serializers.UUIDField()
    version = serializers.IntegerField(required=False, allow_null=True)
    instrument = serializers.CharField(max_length=20, required=False, allow_blank=True)
    reading = serializers.CharField(max_length=64, required=False, allow_blank=True)
    at = serializers.DateTimeField(required=False, allow_null=True)
    made_at = serializers.DateTimeField(required=False, allow_null=True)
    number = serializers.CharField(max_length=40, required=False, allow_blank=True)
    mass_g = serializers.CharField(max_length=40, required=False, allow_blank=True)
    kind = serializers.CharField(max_length=40, required=False, allow_blank=True)
    depth = serializers.CharField(max_length=40, required=False, allow_blank=True)
    largest_mm = serializers.CharField(max_length=40, required=False, allow_blank=True)
    faces = serializers.CharField(max_length=10, required=False, allow_blank=True)
    up = serializers.CharField(max_length=10, required=False, allow_blank=True)
    side = serializers.CharField(max_length=40, required=False, allow_blank=True)
    lift_unknown = serializers.CharField(max_length=10, required=False, allow_blank=True)
    note = serializers.CharField(max_length=2000, required=False, allow_blank=True)


class TrayCells(serializers.Serializer[Any]):
    """A row's cells as they would be typed; empty: not said."""

    number = serializers.CharField()
    mass_g = serializers.CharField()
    kind = serializers.CharField()
    depth = serializers.CharField()
    largest_mm = serializers.CharField()
    faces = serializers.CharField()
    up = serializers.CharField()
    side = serializers.CharField()
    lift_unknown = serializers.CharField()
    note = serializers.CharField()


class TrayRowShown(serializers.Serializer[Any]):
    """`kept`: when and with what, in words. `doubt`: what is doubtful about its mass; empty where nothing is, or somebody looked."""

    row = serializers.UUIDField()
    tray = serializers.CharField()
    number = serializers.CharField()
    suffix = serializers.CharField()
    version = serializers.IntegerField()
    present = serializers.BooleanField()
    cells = TrayCells()
    kept = serializers.CharField()
    by = serializers.CharField(allow_null=True)
    doubt = serializers.CharField()
    next = serializers.CharField(required=False)


@extend_schema_view(
    list=extend_schema(summary="Rows of trays", responses=TrayRowShown(many=True)),
    retrieve=extend_schema(summary="One row, by the uid of its own", responses=TrayRowShown),
)
class TrayRows(Resource):
    """Pieces as they are listed in trays, a row each."""

    acts = {"GET": "record.read", "POST": "tray.enter"}
    number_field = "row"
    filterset_class = TrayRowFilter
    serializer_class = TrayRowShown
    queryset = TrayRow.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return tray_reads.tray_rows(reader)

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        uid = as_uid(number)
        return rows.filter(row=uid).first() if uid else None

    def show(self, record: Any) -> dict[str, Any]:
        return self.show_many([record])[0]

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        """Doubts are those of the whole tray: they stand in the answer to a row that was kept, and on its page."""
        return [r.told() | {"tray": r.it.tray_list.tray.code} for r in tray_reads.as_rows(records)]

    @extend_schema(request=TrayRowSaid, responses={201: TrayRowShown}, summary="Keep one row of an open tray")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(TrayRowSaid)
        tray = tray_reads.tray_said(self.actor, said["tray"])
        kept = self._kept(tray, said["row"], said)
        row, following = tray_reads.just_kept(tray, kept)
        shown = row.told() | {"tray": tray.tray.code, "next": following}
        return Response(shown, status=201, headers={"Location": f"/api/v1/tray-rows/{kept.row}/"})

    def _kept(self, tray: TrayList, row: UUID, said: dict[str, Any]) -> TrayRow:
        typed = {n: said.get(n, "") for n in COLUMNS}
        read, wrong = read_row(typed, Piece.KINDS, cast=tray.cast.number, decimal_comma=collection().decimal_comma)
        refuse_if(wrong, Refusal)
        weighed = actions.Weighed(
            instrument_said(said.get("instrument", "")),
            said.get("reading", ""),
            said.get("at") or _kept_at(said.get("made_at")),
            reads.me(self.actor),
        )
        return actions.save_row(self.actor, tray.pk, row, read, weighed=weighed, expected_version=said.get("version"))


def _kept_at(made_at: datetime | None) -> datetime | None:
    """By the phone's clock, and never later than now."""
    return min(made_at, timezone.now()) if made_at else None
