"""Pieces as the API reads and writes them, and the daily corrections of their numbers."""

from __future__ import annotations

from typing import Any

from django.db.models import Prefetch, QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts import actions, reads
from catalog.casts.api.said import LengthField, MassField, not_ours
from catalog.casts.filters import PieceFilter
from catalog.casts.models import MASS_STATES, BreakFace, Piece
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.ids import as_uid
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor

_NAMES = (
    *("suffix", "present", "kind", "from_cm", "to_cm", "mass_g", "mass_u_g", "mass_state", "largest_mm"),
    *("up_mark", "compass", "shaft", "lift_unknown", "missing_since", "struck_off", "note", "version"),
)


class PieceSaid(Strict):
    """What may be said of a piece; its mass is set by weighing, its number stays."""

    kind = serializers.ChoiceField(Piece.KINDS, required=False, allow_blank=True)
    from_cm = serializers.DecimalField(8, 2, required=False, allow_null=True)
    to_cm = serializers.DecimalField(8, 2, required=False, allow_null=True)
    largest_mm = LengthField(required=False, allow_null=True)
    up_mark = serializers.BooleanField(required=False, allow_null=True)
    compass = serializers.CharField(max_length=20, required=False, allow_blank=True)
    shaft = serializers.CharField(max_length=40, required=False, allow_blank=True)
    lift_unknown = serializers.BooleanField(required=False)
    note = serializers.CharField(max_length=5000, required=False, allow_blank=True)


class MassSaid(Strict):
    """A mass with its state, and what is known of the piece that bears it."""

    mass_g = MassField(required=False, allow_null=True)
    u_g = MassField(required=False, allow_null=True)
    state = serializers.ChoiceField(MASS_STATES, required=False, allow_blank=True)
    kind = serializers.ChoiceField(Piece.KINDS, required=False, allow_blank=True)
    note = serializers.CharField(max_length=5000, required=False, allow_blank=True)


class PieceShown(serializers.Serializer[Any]):
    """`parts`: numbers of what it broke into. `became`: the number it goes by now. `faces`: letters, as in 2016.1.4/a."""

    uid = serializers.UUIDField()
    number = serializers.CharField()
    cast = serializers.CharField()
    parent = serializers.CharField(allow_null=True)  # type: ignore[assignment]
    parts = serializers.ListField(child=serializers.CharField())
    became = serializers.CharField(allow_null=True)
    parted_from = serializers.CharField(allow_null=True)
    faces = serializers.ListField(child=serializers.CharField())
    lift = serializers.CharField(allow_null=True)
    suffix = serializers.CharField()
    present = serializers.BooleanField()
    kind = serializers.CharField(allow_blank=True)
    from_cm = serializers.FloatField(allow_null=True)
    to_cm = serializers.FloatField(allow_null=True)
    mass_g = serializers.FloatField(allow_null=True)
    mass_u_g = serializers.FloatField(allow_null=True)
    mass_state = serializers.CharField(allow_blank=True)
    largest_mm = serializers.FloatField(allow_null=True)
    up_mark = serializers.BooleanField(allow_null=True)
    compass = serializers.CharField(allow_blank=True)
    shaft = serializers.CharField(allow_blank=True)
    lift_unknown = serializers.BooleanField()
    missing_since = serializers.DateField(allow_null=True)
    struck_off = serializers.CharField(allow_blank=True)
    note = serializers.CharField(allow_blank=True)
    version = serializers.IntegerField()


def show_piece(record: Piece) -> dict[str, Any]:
    """A piece as JSON; `piece_rows` has fetched what it names."""
    return {
        "uid": str(record.uid),
        "number": record.number,
        "cast": record.cast.number,
        "parent": record.parent.number if record.parent else None,
        "parts": [f"{record.cast.number}.{c.suffix}" for c in record.children.all()],
        "became": record.became.number if record.became else None,
        "parted_from": record.parted_from.number if record.parted_from else None,
        "faces": [f.letter for f in record.faces.all()],
        "lift": str(record.lift) if record.lift else None,
        **{n: getattr(record, n) for n in _NAMES},
    }


def piece_rows() -> QuerySet[Piece]:
    """Pieces with all that is shown of them: three queries, whatever the rows."""
    beside = ("cast", "lift", "lift__excavation", "parent__cast", "became__cast", "parted_from__cast")
    return Piece.objects.select_related(*beside).prefetch_related(
        Prefetch("children", Piece.objects.filter(struck_off="").order_by("sort")),
        Prefetch("faces", BreakFace.objects.filter(divided=False).order_by("letter")),
    )


@extend_schema_view(
    list=extend_schema(summary="Pieces of casts", responses=PieceShown(many=True)),
    retrieve=extend_schema(summary="One piece, by number or uid", responses=PieceShown),
)
class Pieces(Resource):
    """Pieces of casts, each at its own flat address; described by PATCH."""

    acts = {"GET": "record.read", "PATCH": "piece.write"}
    sorts = {"number": "sort", "mass_g": "mass_g", "id": "id"}
    sort = "id"
    filterset_class = PieceFilter
    serializer_class = PieceShown
    queryset = Piece.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return piece_rows()

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        """By the number as it stands on the label: a piece that goes by another one now is told so, not hidden."""
        if as_uid(number):
            return rows.filter(uid=as_uid(number)).first()
        found = reads.subject_of(self.actor, number, follow=False)
        return rows.filter(pk=found.piece.pk).first() if found.piece else None

    def show(self, record: Any) -> dict[str, Any]:
        return show_piece(record)

    @extend_schema(
        request=PieceSaid, responses=PieceShown, summary="Describe a piece (JSON merge patch, with If-Match)"
    )
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        piece, version = self.one(number), self.seen_version()
        actions.describe_piece(self.actor, piece.pk, self.said(PieceSaid, partial=True), expected_version=version)
        now = self.one(str(piece.uid))
        return Response(self.show(now), headers={"ETag": etag_of(now)})


class PiecesOfCast(Pieces):
    """The pieces of one cast."""

    acts = {"GET": "record.read"}
    sort = "number"

    def get_queryset(self) -> QuerySet[Any]:
        cast = reads.cast_at(self.actor, self.kwargs["number"])
        return super().get_queryset().filter(cast=cast)


class _Deed(Pieces):
    """A correction of one piece, below its address."""

    acts = {"POST": "piece.write"}

    def answer_with(self, piece: Piece) -> HttpResponse:
        now = self.one(str(piece.uid))
        return made(self.show(now), f"/api/v1/pieces/{now.number}/", etag_of(now))

    def piece(self) -> Piece:
        found: Piece = self.one(self.kwargs["number"])
        return found


class StrikeOffSaid(Strict):
    """What it is instead of a piece: stone, soil."""

    why = serializers.CharField(max_length=80)


class StrikeOff(_Deed):
    """It is not a piece after all: its number stays and is never given again."""

    @extend_schema(request=StrikeOffSaid, responses={201: PieceShown}, summary="Strike a piece off")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        piece = self.piece()
        return self.write_once(
            lambda: self.answer_with(actions.strike_off(self.actor, piece.pk, self.said(StrikeOffSaid)["why"]))
        )


class PutBack(_Deed):
    """What was struck off by mistake is there again."""

    @extend_schema(request=None, responses={201: PieceShown}, summary="Put back what was struck off")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        piece = self.piece()
        return self.write_once(lambda: self.answer_with(actions.put_back(self.actor, piece.pk)))


class PartNumber(_Deed):
    """One number was put on two pieces: the second gets the next one."""

    @extend_schema(request=MassSaid, responses={201: PieceShown}, summary="Part one number that is on two pieces")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        piece = self.piece()
        return self.write_once(
            lambda: self.answer_with(actions.part_number(self.actor, piece.pk, **self.said(MassSaid)))
        )


class GiveToCastSaid(Strict):
    """The number of the cast that it is of."""

    to = serializers.CharField(max_length=60)


class GiveToCast(_Deed):
    """The piece is of another cast: it goes by the next number there, the old one leads on."""

    @extend_schema(request=GiveToCastSaid, responses={201: PieceShown}, summary="Give a piece to the cast it is of")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        piece = self.piece()
        return self.write_once(lambda: self._give(piece))

    def _give(self, piece: Piece) -> HttpResponse:
        said = self.said(GiveToCastSaid)["to"]
        try:
            to = reads.cast_at(self.actor, said)
        except NotFound as absent:
            raise not_ours(absent, "to", said) from None
        return self.answer_with(actions.give_to_cast(self.actor, piece.pk, to))
