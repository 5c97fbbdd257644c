"""Break faces, joins, refused fits and crumb lots for machines."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts import actions
from catalog.casts.api.said import LengthField, by_said, face_said, subject_said
from catalog.casts.filters import FaceFilter, JoinFilter, RefusedFitFilter
from catalog.casts.models import BreakFace, Join, RefusedFit
from catalog.casts.reads import refitting as reads
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.ids import as_uid
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor


class ByUid(Resource):
    """What is found by its uid alone."""

    number_field = "uid"

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return rows.filter(uid=as_uid(number)).first() if as_uid(number) else None


class FaceSaid(Strict):
    """A face of a piece and its size."""

    length_mm = LengthField(required=False, allow_null=True)
    width_mm = LengthField(required=False, allow_null=True)
    side = serializers.ChoiceField(BreakFace.SIDES, required=False, allow_blank=True)
    natural_end = serializers.BooleanField(required=False)
    note = serializers.CharField(max_length=300, required=False, allow_blank=True)


class NewFaceSaid(FaceSaid):
    """The piece it is on; without a letter it takes the next free one."""

    piece = serializers.CharField(max_length=80)
    letter = serializers.CharField(max_length=8, required=False, allow_blank=True)


class FaceShown(serializers.Serializer[Any]):
    """`state`: open, joined or natural end, as the joins say."""

    uid = serializers.UUIDField()
    number = serializers.CharField()
    piece = serializers.CharField()
    letter = serializers.CharField()
    state = serializers.CharField()
    divided = serializers.BooleanField()
    length_mm = serializers.FloatField(allow_null=True)
    width_mm = serializers.FloatField(allow_null=True)
    side = serializers.CharField(allow_blank=True)
    natural_end = serializers.BooleanField()
    note = serializers.CharField(allow_blank=True)
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Break faces", responses=FaceShown(many=True)),
    retrieve=extend_schema(summary="One break face, by uid", responses=FaceShown),
)
class Faces(ByUid):
    """Break faces of pieces."""

    acts = {"GET": "record.read", "POST": "piece.write", "PATCH": "piece.write"}
    filterset_class = FaceFilter
    serializer_class = FaceShown
    queryset = BreakFace.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.faces(reader)

    def show(self, record: Any) -> dict[str, Any]:
        return self.show_many([record])[0]

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        tied = reads.joined_among(records)
        names = ("letter", "divided", "length_mm", "width_mm", "side", "natural_end", "note", "version")
        return [
            {
                "uid": str(f.uid),
                "number": f.number,
                "piece": f.piece.number,
                "state": "natural end" if f.natural_end else "joined" if f.pk in tied else "open",
                **{n: getattr(f, n) for n in names},
            }
            for f in records
        ]

    @extend_schema(request=NewFaceSaid, responses={201: FaceShown}, summary="Add a break face")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> HttpResponse:
        said = self.said(NewFaceSaid)
        number = said.pop("piece")
        piece = subject_said(self.actor, number, "piece").piece
        if piece is None:
            raise Refusal(Reason("A face is on a piece. Name the piece: 2016.1.4.", "piece", said=number))
        face = actions.add_face(self.actor, piece, **said)
        return made(self.show(face), f"/api/v1/faces/{face.uid}/", etag_of(face))

    @extend_schema(request=FaceSaid, responses=FaceShown, summary="Measure a face (JSON merge patch, with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        face, version = self.one(number), self.seen_version()
        now = actions.measure_face(self.actor, face.pk, self.said(FaceSaid, partial=True), expected_version=version)
        return Response(self.show(now), headers={"ETag": etag_of(now)})


class DivideSaid(Strict):
    """Into how many parts."""

    parts = serializers.IntegerField(min_value=2, max_value=9, required=False)


class DivideFace(Faces):
    """A face is divided: a becomes a1 and a2, each with a join of its own."""

    acts = {"POST": "piece.write"}

    @extend_schema(request=DivideSaid, responses={201: FaceShown(many=True)}, summary="Divide a face")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        face = self.one(self.kwargs["number"])
        return self.write_once(lambda: self._divide(face))

    def _divide(self, face: BreakFace) -> HttpResponse:
        parts = actions.divide_face(self.actor, face.pk, self.said(DivideSaid).get("parts", 2))
        return Response(self.show_many(list(parts)), status=201)


class JoinSaid(Strict):
    """Into which state: fixed names its adhesive, a dry fit has none. `on`: the day it was done, today if left out."""

    state = serializers.ChoiceField(Join.STATES, required=False)
    adhesive = serializers.CharField(max_length=200, required=False, allow_blank=True)
    by = serializers.CharField(max_length=200, required=False, allow_blank=True)
    on = serializers.DateField(required=False, allow_null=True)
    note = serializers.CharField(max_length=500, required=False, allow_blank=True)


class NewJoinSaid(JoinSaid):
    """Two faces that fit, as 2016.1.4/a and 2016.1.5/b."""

    faces = serializers.ListField(child=serializers.CharField(max_length=80), min_length=2, max_length=2)


class JoinShown(serializers.Serializer[Any]):
    """Two faces and the state of their join; `by` and `on` are of the state it is in."""

    uid = serializers.UUIDField()
    cast = serializers.CharField()
    faces = serializers.ListField(child=serializers.CharField())
    state = serializers.ChoiceField(Join.STATES)
    adhesive = serializers.CharField(allow_blank=True)
    by = serializers.CharField(allow_null=True)
    on = serializers.DateField()
    note = serializers.CharField(allow_blank=True)
    from_breakage = serializers.BooleanField()
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Joins, standing and over", responses=JoinShown(many=True)),
    retrieve=extend_schema(summary="One join, by uid", responses=JoinShown),
)
class Joins(ByUid):
    """Joins of faces: dry fit, fixed, failed, undone; never deleted."""

    acts = {"GET": "record.read", "POST": "join.dry", "PATCH": "join.dry"}
    sorts = {"on": "on", "id": "id"}
    sort = "-id"
    filterset_class = JoinFilter
    serializer_class = JoinShown
    queryset = Join.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.joins(reader)

    def show(self, record: Any) -> dict[str, Any]:
        names = ("state", "adhesive", "on", "note", "from_breakage", "version")
        return {
            "uid": str(record.uid),
            "cast": record.cast.number,
            "faces": [record.face_a.number, record.face_b.number],
            "by": record.by.name if record.by else None,
            **{n: getattr(record, n) for n in names},
        }

    @extend_schema(request=NewJoinSaid, responses={201: JoinShown}, summary="Join two faces")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> HttpResponse:
        said = by_said(self.said(NewJoinSaid))
        a, b = (face_said(self.actor, text, f"faces/{n}") for n, text in enumerate(said.pop("faces")))
        join = actions.join_faces(self.actor, a, b, **said)
        return made(self.show(join), f"/api/v1/joins/{join.uid}/", etag_of(join))

    @extend_schema(request=JoinSaid, responses=JoinShown, summary="Fix, fail or undo a join (with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        join, version = self.one(number), self.seen_version()
        said = by_said(self.said(JoinSaid, partial=True))
        state = said.pop("state", join.state)
        actions.change_join(self.actor, join.pk, state, expected_version=version, **said)
        now = self.one(number)
        return Response(self.show(now), headers={"ETag": etag_of(now)})


class RefusedFitSaid(Strict):
    """Two faces that were tried and do not fit."""

    faces = serializers.ListField(child=serializers.CharField(max_length=80), min_length=2, max_length=2)
    why = serializers.CharField(max_length=300, required=False, allow_blank=True)
    by = serializers.CharField(max_length=200, required=False, allow_blank=True)
    on = serializers.DateField(required=False, allow_null=True)


class RefusedFitShown(serializers.Serializer[Any]):
    """`taken_back`: they were joined since."""

    uid = serializers.UUIDField()
    cast = serializers.CharField()
    faces = serializers.ListField(child=serializers.CharField())
    why = serializers.CharField(allow_blank=True)
    by = serializers.CharField(allow_null=True)
    on = serializers.DateField()
    taken_back = serializers.BooleanField()


@extend_schema_view(
    list=extend_schema(summary="Fits that were tried and refused", responses=RefusedFitShown(many=True)),
    retrieve=extend_schema(summary="One refused fit, by uid", responses=RefusedFitShown),
)
class RefusedFits(ByUid):
    """What was tried and does not fit: never suggested again."""

    acts = {"GET": "record.read", "POST": "fit.refuse"}
    filterset_class = RefusedFitFilter
    serializer_class = RefusedFitShown
    queryset = RefusedFit.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return RefusedFit.objects.select_related("cast", "by", "face_a__piece__cast", "face_b__piece__cast")

    def show(self, record: Any) -> dict[str, Any]:
        return {
            "uid": str(record.uid),
            "cast": record.cast.number,
            "faces": [record.face_a.number, record.face_b.number],
            "by": record.by.name if record.by else None,
            **{n: getattr(record, n) for n in ("why", "on", "taken_back")},
        }

    @extend_schema(request=RefusedFitSaid, responses={201: RefusedFitShown}, summary="Say that two faces do not fit")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> HttpResponse:
        said = by_said(self.said(RefusedFitSaid))
        a, b = (face_said(self.actor, text, f"faces/{n}") for n, text in enumerate(said.pop("faces")))
        refused = actions.refuse_fit(self.actor, a, b, **said)
        return made(self.show(refused), f"/api/v1/refused-fits/{refused.uid}/", etag_of(refused))
