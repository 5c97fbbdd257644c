"""Where things are, now or at an instant, as the API reads it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import F, QuerySet
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers

from catalog.casts.subject import Subject
from catalog.ground.api import Resource
from catalog.ground.ids import as_uid
from catalog.ground.problems import refusal_with
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor
from registry.places import reads
from registry.places.filters import PlacementFilter
from registry.places.models import Placement


class PlacementShown(serializers.Serializer[Any]):
    """Where a cast, or a piece with a place of its own, is and belongs. With `at`, `place` and `path` are of that instant."""

    uid = serializers.UUIDField()
    what = serializers.CharField()
    cast = serializers.CharField()
    piece = serializers.CharField(allow_null=True)
    place = serializers.CharField(allow_null=True)
    path = serializers.ListField(child=serializers.CharField())
    home = serializers.CharField(allow_null=True)
    since = serializers.DateTimeField(allow_null=True)
    back_on = serializers.DateField(allow_null=True)
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Where things are, now or at an instant", responses=PlacementShown(many=True)),
    retrieve=extend_schema(summary="One placement, by uid or by the number of its cast", responses=PlacementShown),
)
class Placements(Resource):
    """Where things are. They are changed by movements."""

    acts = {"GET": "record.read"}
    sorts = {"number": "cast_sort", "id": "id"}
    sort = "number"
    filterset_class = PlacementFilter
    serializer_class = PlacementShown
    queryset = Placement.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.placements(reader).annotate(cast_sort=F("cast__sort"))

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        uid = as_uid(number)
        return rows.filter(uid=uid).first() if uid else rows.filter(cast__number__iexact=number, piece=None).first()

    def filter_queryset(self, queryset: QuerySet[Any]) -> QuerySet[Any]:
        asked = self.request.query_params
        if self._at() and (asked.get("place") or asked.get("within")):
            sentence = "`at` goes with `cast` or `home`: what a place held at an instant is not kept as a list."
            raise refusal_with(400, Reason(sentence, "at"))
        return super().filter_queryset(queryset)

    def _at(self) -> datetime | None:
        said = self.request.query_params.get("at")
        if not said:
            return None
        try:
            at: datetime = serializers.DateTimeField().to_internal_value(said)
        except serializers.ValidationError:
            raise refusal_with(
                400, Reason("Write the instant as 2026-11-20T14:02:00+01:00.", "at", said=said)
            ) from None
        return at

    def show(self, record: Any) -> dict[str, Any]:
        return self.show_many([record])[0]

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        at = self._at()
        subjects = [Subject(p.cast, p.piece) for p in records]
        paths = reads.where_is(subjects, at)
        return [
            {
                "uid": str(p.uid),
                "what": str(subject),
                "cast": p.cast.number,
                "piece": p.piece.number if p.piece else None,
                "place": paths[subject][-1].code if paths[subject] else None,
                "path": [place.code for place in paths[subject]],
                "home": p.home.code if p.home else None,
                "since": p.since if at is None else None,
                "back_on": p.back_on if at is None else None,
                "version": p.version,
            }
            for p, subject in zip(records, subjects, strict=True)
        ]
