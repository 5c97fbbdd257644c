"""Accessions: a number is given by posting one."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import OpenApiExample, OpenApiResponse, extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts.models import Cast
from catalog.casts.reads import cast_at
from catalog.ground.api import Resource, Strict, made
from catalog.ground.edtf import read_edtf
from catalog.ground.members import ExactDay
from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from catalog.people.reads import person_meant
from registry.accessions import actions, reads
from registry.accessions.api.said import Count, words
from registry.accessions.models import Accession
from registry.accessions.said import AccessionSaid, CaseSaid, DecisionSaid
from registry.accessions.seal import seal_words
from registry.accessions.states import TITLE_STATES, WAYS


class DecidedIn(Strict):
    """What somebody else decided, and in which minute it stands."""

    by = serializers.CharField(max_length=200)
    on = ExactDay()
    minute = words(300)


class AccessionIn(Strict):
    """The smallest is an entry object's number and a state of title; what describes the cast goes to `/casts/<number>/`."""

    entry = serializers.CharField(max_length=60, help_text="The number that the object goes by: E-2026-14, E-2026-14b.")
    title = serializers.ChoiceField(TITLE_STATES, required=False)
    title_paper = words(300)
    description = words(500)
    parts = Count(required=False, min_value=1, max_value=100_000)
    way = serializers.ChoiceField(WAYS, required=False)
    case = words(10_000)
    conditions = words(10_000)
    search_record = words(10_000)
    decided = DecidedIn(required=False)
    on = ExactDay(required=False)
    by = words(200)

    def get_fields(self) -> dict[str, Any]:
        return super().get_fields() | {"from": words(300)}


class EdtfOut(serializers.Serializer[Any]):
    edtf = serializers.CharField()
    earliest = serializers.DateField(allow_null=True)
    latest = serializers.DateField(allow_null=True)


class LackOut(serializers.Serializer[Any]):
    key = serializers.CharField()
    sentence = serializers.CharField()


class AccessionOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    number = serializers.CharField()
    line = serializers.IntegerField()
    seal = serializers.CharField()
    on = EdtfOut()
    way = serializers.CharField()
    title = serializers.CharField()
    entry = serializers.CharField(allow_null=True)
    by = serializers.CharField(allow_null=True)
    taken_over_from = serializers.CharField()
    lacks = LackOut(many=True)
    cast = serializers.CharField()


_EXAMPLE = OpenApiExample("The smallest", {"entry": "E-2026-14", "title": "unknown"}, request_only=True)


@extend_schema_view(
    list=extend_schema(summary="Accessions", responses=AccessionOut(many=True)),
    retrieve=extend_schema(summary="One accession, by number or uid", responses=AccessionOut),
)
class Accessions(Resource):
    """Accessions: which cast has which number, by which line; posting one gives the next number."""

    acts = {"GET": "record.read", "POST": "accession.do"}
    sorts = {"line": "line__n", "id": "id"}
    sort = "-line"
    serializer_class = AccessionOut
    queryset = Accession.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.accessions_for_list(reader)

    def show(self, record: Any) -> dict[str, Any]:
        span = read_edtf(record.dated) if record.dated else None
        return {
            "uid": str(record.uid),
            "number": record.number,
            "line": record.line.n,
            "seal": seal_words(bytes(record.line.head)),
            "on": {
                "edtf": record.dated,
                "earliest": span.earliest if span else None,
                "latest": span.latest if span else None,
            },
            "way": record.way,
            "title": record.title_state,
            "entry": record.entry_number,
            "by": record.by.name if record.by else None,
            "taken_over_from": record.taken_over_from,
            "lacks": record.lacks,
            "cast": f"/api/v1/casts/{record.cast.number}/",
        }

    @extend_schema(
        request=AccessionIn,
        responses={201: AccessionOut, 422: OpenApiResponse(description="What is missing: `missing` lists it")},
        summary="Give the next number and write its line",
        examples=[_EXAMPLE],
    )
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        sent = self.said(AccessionIn)
        done = actions.accession(self.actor, _cast(self.actor, sent["entry"]), _said(sent))
        now = self.one(done.number)
        return made(self.show(now), f"/api/v1/accessions/{done.number}/")


def _cast(actor: Actor, number: str) -> Cast:
    try:
        return cast_at(actor, number)
    except NotFound:
        raise Refusal(Reason(f"“{number}” is not an entry of ours.", "entry", said=number)) from None


def _said(sent: dict[str, Any]) -> AccessionSaid:
    by = sent.get("by", "")
    person = person_meant(by) if by else None
    if by and person is None:
        raise Refusal(Reason("We know nobody of this name. Add the person first.", "by", said=by))
    decided = sent.get("decided")
    return AccessionSaid(
        title=sent.get("title", ""),
        title_paper=sent.get("title_paper", ""),
        description=sent.get("description", ""),
        n_parts=sent.get("parts"),
        case=_case(sent) if "way" in sent else None,
        decided=DecisionSaid(**decided) if decided else None,
        on=sent.get("on"),
        by=person,
    )


def _case(sent: dict[str, Any]) -> CaseSaid:
    said = sent.get("from", "")
    giver = person_meant(said) if said else None
    names = ("case", "conditions", "search_record")
    kept = {name: sent.get(name, "") for name in names}
    return CaseSaid(sent["way"], from_person=giver, from_words="" if giver else said, **kept)
