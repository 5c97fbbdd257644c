"""Names of animals by the API."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.roles import Actor
from catalog.taxa import actions, reads
from catalog.taxa.filters import SORTS, TaxonFilter
from catalog.taxa.models import Taxon


def _words(most: int) -> serializers.CharField:
    return serializers.CharField(max_length=most, required=False, allow_blank=True)


class TaxonSaid(Strict):
    """One name; `name` is enough."""

    name = serializers.CharField(max_length=200)
    author = _words(200)
    rank = serializers.ChoiceField(Taxon.RANKS, required=False)
    common_name = _words(200)
    group = _words(80)
    kingdom = _words(80)
    phylum = _words(80)
    class_name = _words(80)
    order = _words(80)
    family = _words(80)
    note = _words(10_000)


class TaxonOut(serializers.Serializer[Any]):
    id = serializers.IntegerField()
    uid = serializers.UUIDField()
    name = serializers.CharField()
    author = serializers.CharField()
    rank = serializers.ChoiceField(Taxon.RANKS)
    common_name = serializers.CharField()
    group = serializers.CharField(help_text="The form of its nest.")
    kingdom = serializers.CharField()
    phylum = serializers.CharField()
    class_name = serializers.CharField()
    order = serializers.CharField()
    family = serializers.CharField()
    note = serializers.CharField()
    version = serializers.IntegerField()
    changed_at = serializers.DateTimeField()


@extend_schema_view(
    list=extend_schema(summary="Names of animals", responses=TaxonOut(many=True)),
    retrieve=extend_schema(summary="One name, by id or uid", responses=TaxonOut),
)
class Taxa(Resource):
    """Names of animals: read by the staff, written and corrected by who works at the bench."""

    acts = {"GET": "record.read", "POST": "taxon.write", "PATCH": "taxon.write"}
    sorts = SORTS
    sort = "name"
    number_field = "id"
    filterset_class = TaxonFilter
    queryset = Taxon.objects.none()
    serializer_class = TaxonOut

    def rows(self, reader: Actor) -> QuerySet[Taxon]:
        return reads.taxa(reader)

    @extend_schema(request=TaxonSaid, responses={201: TaxonOut}, summary="Put a name on the list")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        taxon = actions.add_name(self.actor, self.said(TaxonSaid))
        return made(self.show(taxon), f"/api/v1/taxa/{taxon.uid}/", etag_of(taxon))

    @extend_schema(request=TaxonSaid(partial=True), responses=TaxonOut, summary="Correct a name (merge, with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        taxon, version = self.one(number), self.seen_version()
        now = actions.correct_name(self.actor, taxon.pk, self.said(TaxonSaid, partial=True), expected_version=version)
        return Response(self.show(now), headers={"ETag": etag_of(now)})
