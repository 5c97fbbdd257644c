"""Restrictions for the API."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request

from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.collection import today
from catalog.ground.ids import as_uid
from catalog.ground.roles import Actor
from registry.condition import actions
from registry.condition.filters import RestrictionFilter
from registry.condition.models import Restriction
from registry.condition.reads import restrictions as reads
from registry.condition.rules import restrictions as rules
from registry.condition.said import RestrictionSaid as Said
from registry.places.reads import person_said, subject_said


class RestrictionSaid(Strict):
    """Which deed is barred for which cast or piece, and why."""

    what = serializers.CharField(max_length=60)
    deed = serializers.ChoiceField(Restriction.DEEDS)
    why = serializers.CharField(max_length=5000)
    since = serializers.DateField(required=False, allow_null=True)
    until = serializers.DateField(required=False, allow_null=True)
    who_may_lift = serializers.CharField(max_length=200, required=False, allow_blank=True)
    said_by = serializers.CharField(max_length=200, required=False, allow_blank=True, allow_null=True)


class RestrictionShown(serializers.Serializer[Any]):
    """`in_force`: today; `what`: the number of the cast or the piece."""

    uid = serializers.UUIDField()
    what = serializers.CharField()
    deed = serializers.ChoiceField(Restriction.DEEDS)
    why = serializers.CharField()
    since = serializers.DateField()
    until = serializers.DateField(allow_null=True)
    said_by = serializers.CharField(allow_null=True)
    who_may_lift = serializers.CharField()
    lifted_on = serializers.DateField(allow_null=True)
    lifted_why = serializers.CharField()
    in_force = serializers.BooleanField()
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="What is barred, and what was", responses=RestrictionShown(many=True)),
    retrieve=extend_schema(summary="One restriction, by uid", responses=RestrictionShown),
)
class Restrictions(Resource):
    """What is barred, and what was."""

    acts = {"GET": "record.read", "POST": "restriction.write"}
    sorts = {"since": "since", "id": "id"}
    sort = "-id"
    number_field = "uid"
    filterset_class = RestrictionFilter
    serializer_class = RestrictionShown
    queryset = Restriction.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.restrictions(reader)

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return rows.filter(uid=number).first() if as_uid(number) else None

    def show(self, record: Any) -> dict[str, Any]:
        names = ("deed", "why", "since", "until", "who_may_lift", "lifted_on", "lifted_why", "version")
        return {
            "uid": str(record.uid),
            "what": record.piece.number if record.piece else record.cast.number,
            **{n: getattr(record, n) for n in names},
            "said_by": record.said_by.name if record.said_by else None,
            "in_force": rules.in_force(record.since, record.until, record.lifted_on, on=today()),
        }

    @extend_schema(request=RestrictionSaid, responses={201: RestrictionShown}, summary="Bar a deed")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> HttpResponse:
        said = self.said(RestrictionSaid)
        subject = subject_said(self.actor, said.pop("what"))
        said["said_by"] = person_said(self.actor, said["said_by"], "said_by") if said.get("said_by") else None
        barred = actions.restrict(self.actor, subject, Said(**said))
        return made(self.show(barred), f"/api/v1/restrictions/{barred.uid}/", etag_of(barred))
