"""Material lots, their ledgers and pours by the API."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.excavations import actions, reads
from catalog.excavations.api.said import ByUid, lot_of, named, person_of, shown, whole, words
from catalog.excavations.filters import LOT_SORTS, LotFilter, PourFilter
from catalog.excavations.models import MATERIALS, LotEntry, MaterialLot, Pour
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.members import Days, ExactDay, Figure, UncertainDay, days
from catalog.ground.roles import Actor


class LotIn(Strict):
    """`taken_in_g` is the first line of the ledger."""

    code = serializers.CharField(max_length=20)
    material = serializers.ChoiceField(MATERIALS)
    what = words(300)
    from_whom = words(200)
    opened_on = ExactDay(required=False, allow_null=True)
    taken_in_g = Figure("g", "mass")
    note = words(10_000)


class LotOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    code = serializers.CharField()
    material = serializers.CharField()
    what = serializers.CharField()
    from_whom = serializers.CharField()
    opened_on = serializers.DateField(allow_null=True)
    balance_g = serializers.DecimalField(12, 3)
    n_pours = serializers.IntegerField()
    note = serializers.CharField()
    version = serializers.IntegerField()
    changed_at = serializers.DateTimeField()


@extend_schema_view(
    list=extend_schema(summary="Material lots with what is left", responses=LotOut(many=True)),
    retrieve=extend_schema(summary="One lot, by code or uid", responses=LotOut),
)
class MaterialLots(Resource):
    acts = {"GET": "record.read", "POST": "lot.write"}
    sorts = LOT_SORTS
    sort = "code"
    number_field = "code"
    filterset_class = LotFilter
    serializer_class = LotOut
    queryset = MaterialLot.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.lots(reader)

    def show(self, record: Any) -> dict[str, Any]:
        names = ("code", "material", "what", "from_whom", "opened_on", "balance_g", "note", "version", "changed_at")
        return {
            "uid": str(record.uid),
            **{n: getattr(record, n) for n in names},
            "n_pours": whole(self, record, "n_pours").n_pours,
        }

    @extend_schema(request=LotIn, responses={201: LotOut}, summary="Open a lot")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(LotIn)
        code, taken_in_g = said.pop("code"), said.pop("taken_in_g", None)
        lot = actions.open_lot(self.actor, code, said, taken_in_g=taken_in_g)
        return made(self.show(lot), f"/api/v1/material-lots/{lot.code}/", etag_of(lot))


class LineIn(Strict):
    """What was drawn is written with its pour."""

    kind = serializers.ChoiceField([k for k in LotEntry.KINDS if k[0] != "drawn"])
    mass_g = Figure("g", "mass", least=None, required=True, allow_null=False)
    on = ExactDay(required=False)
    by = named()
    words = words(300)


class LineOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    lot = serializers.CharField()
    kind = serializers.ChoiceField(LotEntry.KINDS)
    mass_g = serializers.DecimalField(12, 3, help_text="Below zero for what went out.")
    balance_after_g = serializers.DecimalField(12, 3)
    on = serializers.DateField()
    pour = serializers.UUIDField(allow_null=True)
    by = serializers.CharField(allow_null=True)
    words = serializers.CharField()


@extend_schema_view(list=extend_schema(summary="The ledger of a lot", responses=LineOut(many=True)))
class LotLines(ByUid):
    """The lines of one lot's ledger: they are added to, never changed."""

    acts = {"GET": "record.read", "POST": "lot.write"}
    sort = "-id"
    serializer_class = LineOut
    queryset = LotEntry.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.ledger(reader, reads.lot_at(reader, self.kwargs["number"])).select_related("lot").order_by()

    def show(self, record: Any) -> dict[str, Any]:
        names = ("kind", "mass_g", "balance_after_g", "on", "words")
        return {
            "uid": str(record.uid),
            "lot": record.lot.code,
            **{n: getattr(record, n) for n in names},
            "pour": str(record.pour.uid) if record.pour else None,
            "by": shown(record.by),
        }

    @extend_schema(request=LineIn, responses={201: LineOut}, summary="Take in, put back, lose, correct")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(LineIn)
        lot = reads.lot_at(self.actor, self.kwargs["number"])
        person_of(said, "by")
        line = actions.move_material(self.actor, lot.pk, said.pop("kind"), said.pop("mass_g"), **said)
        return made(self.show(line), f"/api/v1/material-lots/{lot.code}/lines/")


class PourIn(Strict):
    """It draws `mass_g` on its lot; `recovered_g` goes back to it in the same act."""

    excavation = serializers.CharField(max_length=80)
    material = serializers.ChoiceField(MATERIALS, required=False)
    lot = named(help_text="Code or uid.")
    mass_g = Figure("g", "mass")
    water_g = Figure("g", "mass")
    mixture = words(200)
    temperature_c = Figure("°C", "temperature", least=None)
    melt_minutes = serializers.IntegerField(min_value=0, max_value=10_000, required=False, allow_null=True)
    poured_on = UncertainDay()
    by = named(help_text="A name we know, or a uid.")
    entrance = words(120)
    recovered_g = Figure("g", "mass")
    note = words(10_000)


class PourOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    excavation = serializers.CharField()
    n = serializers.IntegerField()
    material = serializers.CharField()
    lot = serializers.CharField(allow_null=True)
    mass_g = serializers.DecimalField(12, 3, allow_null=True)
    water_g = serializers.DecimalField(12, 3, allow_null=True)
    mixture = serializers.CharField()
    temperature_c = serializers.DecimalField(6, 1, allow_null=True)
    melt_minutes = serializers.IntegerField(allow_null=True)
    poured_on = Days()
    by = serializers.CharField(allow_null=True)
    entrance = serializers.CharField()
    recovered_g = serializers.DecimalField(12, 3, allow_null=True)
    note = serializers.CharField()
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Pours", responses=PourOut(many=True)),
    retrieve=extend_schema(summary="One pour, by uid", responses=PourOut),
)
class Pours(ByUid):
    acts = {"GET": "record.read", "POST": "excavation.write"}
    filterset_class = PourFilter
    serializer_class = PourOut
    queryset = Pour.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.pours(reader)

    def show(self, record: Any) -> dict[str, Any]:
        names = ("n", "material", "mass_g", "water_g", "mixture", "temperature_c", "melt_minutes", "entrance")
        return {
            "uid": str(record.uid),
            "excavation": record.excavation.number,
            "lot": record.lot.code if record.lot else None,
            **{n: getattr(record, n) for n in (*names, "recovered_g", "note", "version")},
            "poured_on": days(record.poured_on),
            "by": shown(record.by),
        }

    @extend_schema(request=PourIn, responses={201: PourOut}, summary="Write a pour")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(PourIn)
        dig = reads.dig_meant(self.actor, said.pop("excavation"))
        lot_of(self.actor, said)
        person_of(said, "by")
        pour = actions.record_pour(self.actor, dig.pk, said)
        return made(self.show(pour), f"/api/v1/pours/{pour.uid}/", etag_of(pour))
