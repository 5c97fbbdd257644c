"""Crumb lots for machines, and the crumb that becomes a piece."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request

from catalog.casts import actions
from catalog.casts.api.pieces import MassSaid, PieceShown, piece_rows, show_piece
from catalog.casts.api.refitting import ByUid
from catalog.casts.api.said import MassField, subject_said
from catalog.casts.filters import CrumbLotFilter
from catalog.casts.models import MASS_STATES, CrumbLot
from catalog.ground.api import Strict, etag_of, made
from catalog.ground.roles import Actor


class CrumbLotSaid(Strict):
    """Crumbs of a cast, or of the piece they broke from: weighed, counted, or both."""

    of = serializers.CharField(max_length=80)
    mass_g = MassField(required=False, allow_null=True)
    u_g = MassField(required=False, allow_null=True)
    state = serializers.ChoiceField(MASS_STATES, required=False, allow_blank=True)
    n = serializers.IntegerField(min_value=1, max_value=100_000, required=False, allow_null=True)
    note = serializers.CharField(max_length=300, required=False, allow_blank=True)


class CrumbLotShown(serializers.Serializer[Any]):
    """`n` null: not counted."""

    uid = serializers.UUIDField()
    of = serializers.CharField()
    n = serializers.IntegerField(allow_null=True)
    mass_g = serializers.FloatField(allow_null=True)
    mass_u_g = serializers.FloatField(allow_null=True)
    mass_state = serializers.CharField(allow_blank=True)
    note = serializers.CharField(allow_blank=True)
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Lots of crumbs", responses=CrumbLotShown(many=True)),
    retrieve=extend_schema(summary="One lot of crumbs, by uid", responses=CrumbLotShown),
)
class CrumbLots(ByUid):
    """Small fragments kept together, counted and weighed."""

    acts = {"GET": "record.read", "POST": "tray.enter"}
    filterset_class = CrumbLotFilter
    serializer_class = CrumbLotShown
    queryset = CrumbLot.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return CrumbLot.objects.select_related("cast", "piece__cast")

    def show(self, record: Any) -> dict[str, Any]:
        names = ("n", "mass_g", "mass_u_g", "mass_state", "note", "version")
        of = record.piece.number if record.piece else record.cast.number
        return {"uid": str(record.uid), "of": of, **{n: getattr(record, n) for n in names}}

    @extend_schema(request=CrumbLotSaid, responses={201: CrumbLotShown}, summary="Keep a lot of crumbs")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> HttpResponse:
        said: dict[str, Any] = {"mass_g": None} | self.said(CrumbLotSaid)
        lot = actions.keep_crumbs(self.actor, subject_said(self.actor, said.pop("of"), "of"), **said)
        return made(self.show(lot), f"/api/v1/crumb-lots/{lot.uid}/", etag_of(lot))


class CrumbToPiece(CrumbLots):
    """One crumb of a lot gets a number of its own."""

    acts = {"POST": "piece.write"}

    @extend_schema(request=MassSaid, responses={201: PieceShown}, summary="Make a crumb a piece")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        lot = self.one(self.kwargs["number"])
        return self.write_once(lambda: self._number(lot))

    def _number(self, lot: CrumbLot) -> HttpResponse:
        piece = piece_rows().get(pk=actions.crumb_to_piece(self.actor, lot, **self.said(MassSaid)).pk)
        return made(show_piece(piece), f"/api/v1/pieces/{piece.number}/", etag_of(piece))
