"""The register: read only. Lines are written by the acts that they tell of."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import StreamingHttpResponse
from drf_spectacular.utils import OpenApiResponse, extend_schema, extend_schema_view
from rest_framework import serializers, views
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import MayAct, Resource
from catalog.ground.roles import Actor
from registry.accessions import reads
from registry.accessions.filters import LINE_SORTS, LineFilter
from registry.accessions.models import LedgerLine


class RegisterLineOut(serializers.Serializer[Any]):
    line = serializers.IntegerField()
    kind = serializers.CharField()
    number = serializers.CharField(allow_null=True)
    at = serializers.DateTimeField()
    words = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]
    by = serializers.CharField(allow_null=True)
    entry = serializers.CharField(allow_null=True)
    cast = serializers.CharField(allow_null=True)
    corrects = serializers.IntegerField(allow_null=True)
    corrected_by = serializers.ListField(child=serializers.IntegerField())
    seal = serializers.CharField()
    leaf = serializers.CharField()
    head = serializers.CharField()
    sealed = serializers.DictField()


@extend_schema_view(
    list=extend_schema(summary="Lines of the register, newest first", responses=RegisterLineOut(many=True)),
    retrieve=extend_schema(summary="One line, by its place in the register", responses=RegisterLineOut),
)
class Register(Resource):
    """The lines of the accession register, each with what is sealed in it."""

    acts = {"GET": "register.read"}
    sorts = LINE_SORTS | {"id": "id"}
    sort = "-line"
    filterset_class = LineFilter
    serializer_class = RegisterLineOut
    queryset = LedgerLine.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.lines_for_list(reader)

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        digits = number.isascii() and number.isdigit() and len(number) < 10
        return rows.filter(n=int(number)).first() if digits else None

    def show(self, record: Any) -> dict[str, Any]:
        return self.show_many([record])[0]

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        shown = zip(records, reads.line_views(records), strict=True)
        return [
            {
                "line": view.n,
                "kind": view.kind,
                "number": view.number or None,
                "at": view.at,
                "words": view.words,
                "source": view.source,
                "by": view.who or None,
                "entry": view.entry or None,
                "cast": view.cast_number or None,
                "corrects": view.corrects,
                "corrected_by": list(view.corrected_by),
                "seal": view.seal,
                "leaf": bytes(record.leaf).hex(),
                "head": bytes(record.head).hex(),
                "sealed": view.members,
            }
            for record, view in shown
        ]


class Lines(views.APIView):
    """Every line's sealed bytes, each with a line feed: `verify_register.py` reads them without us."""

    permission_classes = [MayAct]
    acts = {"GET": "register.read"}

    def act_of(self, method: str | None) -> str:
        return self.acts["GET"]

    @extend_schema(
        summary="All lines, letter for letter as they are sealed",
        responses={(200, "application/x-ndjson"): OpenApiResponse(response=bytes, description="lines.jsonl")},
    )
    def get(self, request: Request) -> Response | StreamingHttpResponse:
        answer = StreamingHttpResponse(reads.raw_lines(), content_type="application/x-ndjson")
        answer["Content-Disposition"] = 'attachment; filename="lines.jsonl"'
        return answer


lines = Lines.as_view()

__all__ = ["Register", "lines"]
