"""Suggested fits of a cast for machines: its open faces, each with the five that may fit it best."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers

from catalog.casts import reads
from catalog.casts.models import BreakFace
from catalog.casts.reads.fits import Suggestion, faces_to_fit, fits_of
from catalog.ground.api import Resource
from catalog.ground.roles import Actor


class FitOut(serializers.Serializer[Any]):
    """One face that may fit."""

    face = serializers.CharField(help_text="as 2016.1.4/a")
    rank = serializers.IntegerField(help_text="from 1")
    likely = serializers.ChoiceField(["likely", "possible", "try"])
    why = serializers.CharField()
    z = serializers.FloatField(allow_null=True, help_text="by how many standard uncertainties the sizes differ")


class SuggestedFitsOut(serializers.Serializer[Any]):
    """An open face with the best that may fit it, best first. No proof: a person's dry fit is."""

    face = serializers.CharField(help_text="as 2016.1.5/b")
    piece = serializers.CharField()
    fits = FitOut(many=True)
    rough = serializers.BooleanField(
        help_text="the cast has too few sizes of its own; those of the collection were used"
    )


@extend_schema_view(
    list=extend_schema(summary="Which open faces of a cast may fit which", responses=SuggestedFitsOut(many=True))
)
class SuggestedFits(Resource):
    """Open faces of one cast with their suggested fits. Pairs that were refused do not come back."""

    sorts = {"number": "piece__sort", "id": "id"}
    sort = "id"
    serializer_class = SuggestedFitsOut
    queryset = BreakFace.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        self._cast = reads.cast_at(reader, self.kwargs["number"])
        return faces_to_fit(reader, self._cast)

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        found = fits_of(self.actor, self._cast)
        return [
            {
                "face": face.number,
                "piece": face.piece.number,
                "fits": [_show(s) for s in found.by_face.get(face.pk, [])],
                "rough": found.rough,
            }
            for face in records
        ]


def _show(s: Suggestion) -> dict[str, Any]:
    z = None if s.fit.z is None else round(s.fit.z, 3)
    return {"face": s.other.number, "rank": s.fit.rank, "likely": s.fit.likely, "why": s.fit.why, "z": z}
