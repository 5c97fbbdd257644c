"""Determinations as the API reads and writes them."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts import actions, reads
from catalog.casts.api.said import UncertainDay
from catalog.casts.models import Determination
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.ids import as_uid
from catalog.ground.members import days
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.people.models import Person
from catalog.taxa.models import Taxon


class DeterminationSaid(Strict):
    """Who says which animal it is, and on which ground."""

    cast = serializers.CharField(max_length=60)
    taxon = serializers.CharField(max_length=200, required=False, allow_blank=True)
    words = serializers.CharField(max_length=200, required=False, allow_blank=True)
    qualifier = serializers.ChoiceField(Determination.QUALIFIERS, required=False, allow_blank=True)
    ground = serializers.ChoiceField(Determination.GROUNDS)
    by = serializers.CharField(max_length=200, required=False, allow_blank=True)
    on = UncertainDay(max_length=40, required=False, allow_blank=True)
    remark = serializers.CharField(max_length=5000, required=False, allow_blank=True)


class Determinations(Resource):
    """Determinations: the accepted one is current, earlier ones stay."""

    acts = {"GET": "record.read", "POST": "determination.propose"}
    number_field = "uid"
    serializer_class = DeterminationSaid
    queryset = Determination.objects.none()

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return rows.filter(uid=as_uid(number)).first() if as_uid(number) else None

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return Determination.objects.select_related("cast", "taxon", "by")

    def show(self, record: Any) -> dict[str, Any]:
        return {
            "uid": str(record.uid),
            "cast": record.cast.number,
            "taxon": record.taxon.name if record.taxon else None,
            "words": record.words,
            "qualifier": record.qualifier,
            "ground": record.ground,
            "by": record.by.name if record.by else None,
            "on": days(record.on),
            "remark": record.remark,
            "accepted": record.accepted,
            "version": record.version,
        }

    @extend_schema(request=DeterminationSaid)
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(DeterminationSaid)
        cast = reads.subject_of(self.actor, said.pop("cast")).cast
        taxon = said.pop("taxon", "")
        said["taxon"] = Taxon.objects.filter(name__iexact=taxon).first() if taxon else None
        if taxon and not said["taxon"]:
            raise Refusal(Reason("This name is not on our list. Send it as words.", "taxon", said=taxon))
        by = said.pop("by", "")
        said["by"] = Person.objects.filter(name__iexact=by).first() if by else None
        if by and not said["by"]:
            raise Refusal(Reason("We know nobody of this name. Add the person first.", "by", said=by))
        done = actions.determine(self.actor, cast, **said)
        return made(self.show(done), f"/api/v1/determinations/{done.uid}/", etag_of(done))
