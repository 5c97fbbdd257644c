"""Casts, pieces and determinations as the API reads and writes them."""

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
from catalog.casts.filters import CastFilter, PieceFilter
from catalog.casts.lists import annotated
from catalog.casts.models import MASS_STATES, Cast, Determination, Piece
from catalog.casts.subject import facts, public_facts
from catalog.excavations.models import Excavation
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.collection import today
from catalog.ground.edtf import from_words
from catalog.ground.figures import read_amount
from catalog.ground.ids import as_uid
from catalog.ground.members import days
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.people.models import Person
from catalog.taxa.models import Taxon


class MassField(serializers.Field[Any, Any, Any, Any]):
    """A figure in grams, or text with a unit such as `1,5 kg`."""

    unit, what = "g", "mass"

    def to_internal_value(self, data: Any) -> Decimal | None:
        if isinstance(data, bool) or not isinstance(data, (int, Decimal, str)):
            raise serializers.ValidationError(f"Write the {self.what} in {self.unit}, such as 12.5.")
        try:
            return read_amount(
                str(data), unit=self.unit, what=self.what, decimal_comma=None if isinstance(data, str) else False
            ).value
        except ValueError as error:
            raise serializers.ValidationError(str(error)) from None

    def to_representation(self, value: Any) -> Any:
        return value


class LengthField(MassField):
    unit, what = "mm", "length"


class UncertainDay(serializers.CharField):
    """EDTF, or words such as `about 1987`; kept as EDTF. What has not come yet is refused."""

    def to_internal_value(self, data: Any) -> str:
        try:
            return from_words(super().to_internal_value(data), today=today())
        except ValueError as error:
            raise serializers.ValidationError(str(error)) from None


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
        "published_on": cast.published_on,
        "changed_at": cast.changed_at,
        **more,
    }


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
        return self.show_many([record])[0]

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


class Pieces(Resource):
    """Pieces of casts, each at its own flat address."""

    sorts = {"number": "sort", "mass_g": "mass_g", "id": "id"}
    sort = "id"
    filterset_class = PieceFilter
    queryset = Piece.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return Piece.objects.select_related("cast", "lift", "lift__excavation", "parent__cast")

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        if as_uid(number):
            return rows.filter(uid=as_uid(number)).first()
        found = reads.subject_of(self.actor, number)
        return rows.filter(pk=found.piece.pk).first() if found.piece else None

    def show(self, record: Any) -> dict[str, Any]:
        names = (
            "suffix",
            "present",
            "kind",
            "from_cm",
            "to_cm",
            "mass_g",
            "mass_u_g",
            "mass_state",
            "largest_mm",
            "note",
            "version",
        )
        return {
            "uid": str(record.uid),
            "number": record.number,
            "cast": record.cast.number,
            "parent": record.parent.number if record.parent else None,
            "lift": str(record.lift) if record.lift else None,
            **{n: getattr(record, n) for n in names},
        }


class PiecesOfCast(Pieces):
    """The pieces of one cast."""

    sort = "number"

    def get_queryset(self) -> QuerySet[Any]:
        cast = reads.cast_at(self.actor, self.kwargs["number"])
        return super().get_queryset().filter(cast=cast)


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
