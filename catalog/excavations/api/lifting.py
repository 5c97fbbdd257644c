"""Lifts and bags by the API: what a phone sends that was at the hole without signal."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse, QueryDict
from drf_spectacular.utils import extend_schema, extend_schema_field, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.excavations import actions, reads
from catalog.excavations.api.said import ByUid, named, person_of, shown, whole, words
from catalog.excavations.filters import BagFilter, LiftFilter
from catalog.excavations.forms.lifting import codes_in
from catalog.excavations.models import Bag, Lift
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.members import Days, ExactDay, Figure, UncertainDay, days
from catalog.ground.roles import Actor


@extend_schema_field(
    {"oneOf": [{"type": "array", "items": {"type": "string"}}, {"type": "string"}], "example": ["BAG-1"]}
)
class Codes(serializers.Field[Any, Any, Any, Any]):
    """Bag codes: a list, or one text in which blanks and commas part them."""

    def get_value(self, dictionary: Any) -> Any:
        if isinstance(dictionary, QueryDict):
            return (
                " ".join(dictionary.getlist(self.field_name or ""))
                if self.field_name in dictionary
                else serializers.empty
            )
        return dictionary.get(self.field_name, serializers.empty)

    def to_internal_value(self, data: Any) -> list[str]:
        said = data if isinstance(data, list) else [data]
        if not all(isinstance(one, str) for one in said):
            raise serializers.ValidationError("Write codes such as BAG-1, BAG-2.")
        codes = [code for one in said for code in codes_in(one)]
        if len(codes) > 100:
            raise serializers.ValidationError("At most 100 bags to a lift.")
        return codes

    def to_representation(self, value: Any) -> Any:
        return value


class LiftIn(Strict):
    """A lift and the bags it went into, in one act. As JSON, or as the fields of the page's form."""

    excavation = serializers.CharField(max_length=80, help_text="Its number, or the field book's.")
    from_cm = Figure("cm", "depth")
    to_cm = Figure("cm", "depth")
    bags = Codes(required=False)
    shaft = words(80)
    up_marked = serializers.BooleanField(required=False, allow_null=True)
    side = words(20)
    lifted_on = UncertainDay(help_text="Today, or the day of `made_at`, where it is left out.")
    by = named(help_text="A name we know, or a uid.")
    note = words(10_000)
    made_at = serializers.DateTimeField(required=False, help_text="The device's own hour.")


class LiftOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    number = serializers.CharField()
    excavation = serializers.CharField()
    n = serializers.IntegerField()
    from_cm = serializers.DecimalField(8, 2, allow_null=True)
    to_cm = serializers.DecimalField(8, 2, allow_null=True)
    bags = serializers.ListField(child=serializers.CharField())
    shaft = serializers.CharField()
    up_marked = serializers.BooleanField(allow_null=True)
    side = serializers.CharField()
    lifted_on = Days()
    by = serializers.CharField(allow_null=True)
    note = serializers.CharField()
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Lifts with their bags", responses=LiftOut(many=True)),
    retrieve=extend_schema(summary="One lift, by uid", responses=LiftOut),
)
class Lifts(ByUid):
    acts = {"GET": "record.read", "POST": "excavation.write"}
    filterset_class = LiftFilter
    serializer_class = LiftOut
    queryset = Lift.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.lifts(reader)

    def show(self, record: Any) -> dict[str, Any]:
        names = ("n", "from_cm", "to_cm", "shaft", "up_marked", "side", "note", "version")
        return {
            "uid": str(record.uid),
            "number": str(record),
            "excavation": record.excavation.number,
            **{n: getattr(record, n) for n in names},
            "bags": [bag.code for bag in record.bags.all()],
            "lifted_on": days(record.lifted_on),
            "by": shown(record.by),
        }

    @extend_schema(request=LiftIn, responses={201: LiftOut}, summary="Write a lift and tie its bags")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(LiftIn)
        dig = reads.dig_meant(self.actor, said.pop("excavation"))
        at, codes = said.pop("made_at", None), said.pop("bags", [])
        person_of(said, "by")
        lift = actions.record_lift(self.actor, dig.pk, said, bags=codes, at=at)
        return made(self.show(self.one(str(lift.uid))), f"/api/v1/lifts/{lift.uid}/", etag_of(lift))


class BagIn(Strict):
    """How a bag ends."""

    outcome = serializers.ChoiceField(Bag.OUTCOMES)
    ground = words(300, help_text="Why it is written off.")
    closed_on = ExactDay(required=False)


class BagOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    code = serializers.CharField()
    state = serializers.ChoiceField(["unused", "open", "inventoried", "written off"])
    excavation = serializers.CharField(allow_null=True)
    lift = serializers.UUIDField(allow_null=True)
    from_cm = serializers.DecimalField(8, 2, allow_null=True)
    to_cm = serializers.DecimalField(8, 2, allow_null=True)
    tied_at = serializers.DateTimeField(allow_null=True)
    tied_by = serializers.CharField(allow_null=True)
    outcome = serializers.CharField()
    ground = serializers.CharField()
    closed_on = serializers.DateField(allow_null=True)
    note = serializers.CharField()
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Bags", responses=BagOut(many=True)),
    retrieve=extend_schema(summary="One bag, by code or uid", responses=BagOut),
)
class Bags(Resource):
    acts = {"GET": "record.read", "PATCH": "excavation.write"}
    sorts = {"id": "id", "tied_at": "tied_at"}
    number_field = "code"
    filterset_class = BagFilter
    serializer_class = BagOut
    queryset = Bag.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.bags(reader)

    def show(self, record: Any) -> dict[str, Any]:
        record = whole(self, record, "state")
        lift = record.lift
        names = ("code", "state", "tied_at", "outcome", "ground", "closed_on", "note", "version")
        return {
            "uid": str(record.uid),
            **{n: getattr(record, n) for n in names},
            "excavation": lift.excavation.number if lift else None,
            "lift": str(lift.uid) if lift else None,
            "from_cm": lift.from_cm if lift else None,
            "to_cm": lift.to_cm if lift else None,
            "tied_by": shown(record.tied_by),
        }

    @extend_schema(request=BagIn, responses=BagOut, summary="Close a bag (with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        bag, version, said = self.one(number), self.seen_version(), self.said(BagIn)
        actions.close_bag(
            self.actor,
            bag.code,
            said["outcome"],
            said.get("ground", ""),
            on=said.get("closed_on"),
            expected_version=version,
        )
        now = self.one(bag.code)
        return Response(self.show(now), headers={"ETag": etag_of(now)})
