"""Casts as the API reads and writes them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts import actions, reads
from catalog.casts.api.said import LengthField, MassField, UncertainDay
from catalog.casts.filters import CastFilter
from catalog.casts.lists import annotated
from catalog.casts.models import MASS_STATES, Cast, Piece
from catalog.casts.reads.wholes import Whole, whole_of
from catalog.casts.subject import facts, public_facts
from catalog.excavations.models import Excavation
from catalog.ground.api import Resource, Strict, etag_of
from catalog.ground.members import days
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to


class CastSaid(Strict):
    """What may be said of a cast."""

    description = serializers.CharField(max_length=500, required=False)
    kind = serializers.ChoiceField(Cast.KINDS, required=False, allow_blank=True)
    material = serializers.CharField(max_length=40, required=False, allow_blank=True)
    material_words = serializers.CharField(max_length=200, required=False, allow_blank=True)
    method = serializers.CharField(max_length=300, required=False, allow_blank=True)
    animal_words = serializers.CharField(max_length=200, required=False, allow_blank=True)
    excavation = serializers.CharField(max_length=40, required=False, allow_null=True)
    original = serializers.CharField(max_length=40, required=False, allow_null=True)
    made_on = UncertainDay(max_length=40, required=False, allow_blank=True)
    n_parts = serializers.IntegerField(min_value=0, max_value=100_000, required=False, allow_null=True)
    mass_g = MassField(required=False, allow_null=True)
    mass_u_g = MassField(required=False, allow_null=True)
    mass_state = serializers.ChoiceField(MASS_STATES, required=False, allow_blank=True)
    length_mm = LengthField(required=False, allow_null=True)
    width_mm = LengthField(required=False, allow_null=True)
    height_mm = LengthField(required=False, allow_null=True)
    fragile = serializers.BooleanField(required=False)
    handling = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    hazards = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    extent = serializers.ChoiceField(Excavation.EXTENTS, required=False, allow_blank=True)
    note = serializers.CharField(max_length=10_000, required=False, allow_blank=True)
    former_numbers = serializers.ListField(child=serializers.CharField(max_length=300), required=False, max_length=50)


def show_cast(cast: Any, reader: Actor, more: dict[str, Any]) -> dict[str, Any]:
    """A cast as JSON: for a visitor what its public page says of it, no more."""
    public = {
        "uid": str(cast.uid),
        "number": cast.number,
        "kind": cast.kind,
        "material": cast.material,
        "animal": cast.animal,
        "common_name": cast.taxon.common_name if cast.taxon else "",
    }
    if not reader.staff:
        return public | more
    names = (
        *(
            "description",
            "material_words",
            "method",
            "qualifier",
            "animal_words",
            "n_parts",
            "mass_g",
            "mass_u_g",
            "mass_state",
        ),
        *(
            "length_mm",
            "width_mm",
            "height_mm",
            "fragile",
            "handling",
            "hazards",
            "extent",
            "note",
            "closed_as",
            "version",
        ),
    )
    return public | {
        **{n: getattr(cast, n) for n in names},
        "year": cast.year,
        "made_on": days(cast.made_on),
        "excavation": cast.excavation.number if cast.excavation else None,
        "original": cast.original.number if cast.original else None,
        "former_numbers": [f.text for f in cast.former_numbers.all()],
        "old_numbers": [o.number for o in cast.old_numbers.all()],
        "n_pieces": getattr(cast, "n_pieces", None),
        "pieces_present": getattr(cast, "n_pieces", None),
        "published_on": cast.published_on,
        "changed_at": cast.changed_at,
        **more,
    }


def show_whole(whole: Whole) -> dict[str, Any]:
    """What is computed, never typed: sections by fixed joins, groups where dry fits count too, completeness by measure."""
    return {
        "pieces_present": len(whole.pieces),
        "loose_pieces": [p.number for p in whole.loose] if len(whole.pieces) > 1 else [],
        "sections": [_group(s) for s in whole.sections],
        "laid_together": [_group(s) for s in whole.laid_together if len(s) > 1],
        "left_out_joins": [[j.face_a.number, j.face_b.number] for j in whole.left_out],
        "weighed_g": whole.weighed_g,
        "weighed_u_g": _rounded(whole.weighed_u_g),
        "completeness": [
            {
                "by": s.by,
                "share": _rounded(s.share, 6),
                "uncertainty": _rounded(s.uncertainty, 6),
                "of": s.of,
                "why": s.why,
            }
            for s in whole.completeness
        ],
    }


def _group(pieces: list[Piece]) -> dict[str, Any]:
    masses = [p.mass_g for p in pieces]
    known = [m for m in masses if m is not None]
    return {"pieces": [p.number for p in pieces], "mass_g": sum(known) if len(known) == len(masses) else None}


def _rounded(value: Decimal | None, places: int = 3) -> Decimal | None:
    return None if value is None else round(value, places)


@extend_schema_view(
    list=extend_schema(summary="Casts that you may know of"),
    retrieve=extend_schema(summary="One cast, by number or uid"),
)
class Casts(Resource):
    """Casts: read by all as far as they may see; described by PATCH."""

    acts = {"GET": "public.read", "PATCH": "cast.describe"}
    sorts = {"number": "sort", "mass_g": "mass_g", "changed_at": "changed_at", "id": "id"}
    sort = "number"
    filterset_class = CastFilter
    serializer_class = CastSaid
    queryset = Cast.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        rows = annotated(reader).select_related("original")
        return reads.with_parts(rows) if reader.staff else rows

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return super().find_one(rows, number) or rows.filter(old_numbers__number__iexact=number).first()

    def show(self, record: Any) -> dict[str, Any]:
        """One cast; for the staff with what is computed of its pieces."""
        shown = self.show_many([record])[0]
        return shown | show_whole(whole_of(self.actor, record)) if self.actor.staff else shown

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        known: dict[int, dict[str, Any]] = {}
        told = facts(self.actor, records, None) if self.actor.staff else public_facts(records)
        for pk, name, value in told:
            known.setdefault(pk, {})[name] = value
        return [show_cast(r, self.actor, known.get(r.pk, {})) for r in records]

    @extend_schema(request=CastSaid, summary="Describe a cast (JSON merge patch, with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        cast, version = self.one(number), self.seen_version()
        said = self.said(CastSaid, partial=True)
        formers = said.pop("former_numbers", [])
        changes = _resolved(self.actor, said)
        actions.describe_with_numbers(self.actor, cast.pk, changes, formers, expected_version=version)
        now = self.one(cast.number)
        return Response(self.show(now), headers={"ETag": etag_of(now)})

    def list(self, request: Request, **kwargs: Any) -> Response:
        if not self.actor.staff:  # the order would tell what is not shown
            self.sorts = {"number": "sort", "id": "id"}
        return super().list(request, **kwargs)


def _resolved(actor: Actor, said: dict[str, Any]) -> dict[str, Any]:
    """Numbers of other records become those records."""
    changes = {k: ("" if v is None and k in ("made_on",) else v) for k, v in said.items()}
    if changes.get("excavation"):
        found = visible_to(actor, Excavation.objects.all()).filter(number__iexact=changes["excavation"]).first()
        if not found:
            raise Refusal(Reason("This is not an excavation of ours.", "excavation", said=said["excavation"]))
        changes["excavation"] = found
    if changes.get("original"):
        changes["original"] = reads.subject_of(actor, changes["original"]).cast
    if "mass_g" in changes:
        changes["mass_said"] = ""
    return changes
