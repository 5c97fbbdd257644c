"""Restrictions for the API."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request

from catalog.casts.reads import subject_of
from catalog.ground.api import Resource, Strict, as_uid, etag_of, made
from catalog.ground.roles import Actor
from registry.condition import actions, reads
from registry.condition.filters import RestrictionFilter
from registry.condition.models import Restriction
from registry.condition.said import RestrictionSaid as Said


class RestrictionSaid(Strict):
    """Which deed is barred for which cast or piece, and why."""

    what = serializers.CharField(max_length=60)
    deed = serializers.ChoiceField(Restriction.DEEDS)
    why = serializers.CharField(max_length=5000)
    since = serializers.DateField(required=False, allow_null=True)
    until = serializers.DateField(required=False, allow_null=True)
    who_may_lift = serializers.CharField(max_length=200, required=False, allow_blank=True)


class Restrictions(Resource):
    """What is barred, and what was."""

    acts = {"GET": "record.read", "POST": "restriction.write"}
    sorts = {"since": "since", "id": "id"}
    sort = "-id"
    number_field = "uid"
    filterset_class = RestrictionFilter
    serializer_class = RestrictionSaid
    queryset = Restriction.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.restrictions(reader)

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return rows.filter(uid=number).first() if as_uid(number) else None

    def show(self, record: Any) -> dict[str, Any]:
        names = ("deed", "why", "since", "until", "who_may_lift", "lifted_on", "lifted_why", "version")
        what = record.piece.number if record.piece else record.cast.number
        return {"uid": str(record.uid), "what": what, **{n: getattr(record, n) for n in names}}

    @extend_schema(request=RestrictionSaid)
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> HttpResponse:
        said = self.said(RestrictionSaid)
        subject = subject_of(self.actor, said.pop("what"))
        barred = actions.restrict(self.actor, subject, Said(**said))
        return made(self.show(barred), f"/api/v1/restrictions/{barred.uid}/", etag_of(barred))
