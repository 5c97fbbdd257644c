"""The place tree as the API reads and writes it."""

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
from registry.places import actions, reads
from registry.places.filters import PlaceFilter
from registry.places.models import Place


class PlaceChanges(Strict):
    """What may be said of a place."""

    name = serializers.CharField(max_length=200, required=False)
    kind = serializers.ChoiceField(Place.KINDS, required=False)
    parent = serializers.CharField(max_length=200, required=False, allow_null=True, allow_blank=True)  # type: ignore[assignment]
    movable = serializers.BooleanField(required=False)
    holds_kg = serializers.DecimalField(max_digits=8, decimal_places=2, required=False, allow_null=True)
    fitness = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    who_enters = serializers.CharField(max_length=200, required=False, allow_blank=True)
    note = serializers.CharField(max_length=5000, required=False, allow_blank=True)


class PlaceSaid(PlaceChanges):
    """A new place: its code, which stays, its name and its kind."""

    code = serializers.CharField(max_length=20)
    name = serializers.CharField(max_length=200)
    kind = serializers.ChoiceField(Place.KINDS)


class PlaceShown(serializers.Serializer[Any]):
    """`path`: the codes of what it stands in, outermost first, and its own."""

    uid = serializers.UUIDField()
    code = serializers.CharField()
    name = serializers.CharField()
    kind = serializers.CharField()
    movable = serializers.BooleanField()
    parent = serializers.CharField(allow_null=True)  # type: ignore[assignment]
    path = serializers.ListField(child=serializers.CharField())
    holds_kg = serializers.DecimalField(max_digits=8, decimal_places=2, allow_null=True)
    fitness = serializers.CharField()
    who_enters = serializers.CharField()
    note = serializers.CharField()
    closed_on = serializers.DateField(allow_null=True)
    changed_at = serializers.DateTimeField()
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Places and containers", responses=PlaceShown(many=True)),
    retrieve=extend_schema(summary="One place, by code or uid", responses=PlaceShown),
)
class Places(Resource):
    """The place tree. A container is moved by a movement, not changed."""

    acts = {"GET": "place.read", "POST": "place.write", "PATCH": "place.write"}
    sorts = {"code": "code", "name": "name", "changed_at": "changed_at", "id": "id"}
    sort = "code"
    number_field = "code"
    filterset_class = PlaceFilter
    serializer_class = PlaceShown
    queryset = Place.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.places_for(reader)

    def show(self, record: Any) -> dict[str, Any]:
        return self.show_many([record])[0]

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        paths = reads.code_paths()
        names = ("code", "name", "kind", "movable", "holds_kg", "fitness", "who_enters", "note", "closed_on")
        return [
            {
                "uid": str(p.uid),
                **{n: getattr(p, n) for n in names},
                "parent": p.parent.code if p.parent else None,
                "path": paths[p.pk],
                "changed_at": p.changed_at,
                "version": p.version,
            }
            for p in records
        ]

    @extend_schema(request=PlaceSaid, responses={201: PlaceShown}, summary="A new place")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self._resolved(self.said(PlaceSaid))
        place = actions.add_place(self.actor, said.pop("code"), said.pop("name"), said.pop("kind"), **said)
        return made(self.show(place), f"/api/v1/places/{place.code}/", etag_of(place))

    @extend_schema(request=PlaceChanges, responses=PlaceShown, summary="Change a place (merge patch, with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        place, version = self.one(number), self.seen_version()
        said = self._resolved(self.said(PlaceChanges, partial=True))
        now = actions.change_place(self.actor, place.pk, said, expected_version=version)
        return Response(self.show(now), headers={"ETag": etag_of(now)})

    def _resolved(self, said: dict[str, Any]) -> dict[str, Any]:
        if "parent" in said:
            said["parent"] = reads.place_said(self.actor, said["parent"], "parent") if said["parent"] else None
        return said
