"""Incidents for the API: read; reporting what is missing and what is found again."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.members import ExactDay
from catalog.ground.roles import Actor
from registry.condition import actions
from registry.condition.filters import IncidentFilter
from registry.condition.models import Incident
from registry.condition.reads import incidents as reads
from registry.condition.said.incidents import FoundSaid, IncidentSaid
from registry.condition.states.incidents import HOWS, KINDS
from registry.places.reads import person_said, place_said, subject_said

_WORDS: dict[str, Any] = {"required": False, "allow_blank": True, "max_length": 5000}
STANDINGS = [("open", "open"), ("closed", "closed"), ("taken back", "taken back")]


class IncidentIn(Strict):
    """Something is missing (`searched`: where it was looked for), or found again (`known_by`, `place`). What broke goes to breakages."""

    kind = serializers.ChoiceField([("missing", "missing"), ("found", "found again")])
    of = serializers.CharField(max_length=200)
    noticed_on = ExactDay(required=False)
    noticed_by = serializers.CharField(max_length=200, required=False, allow_blank=True)
    note = serializers.CharField(**_WORDS)
    told = serializers.CharField(**_WORDS)
    searched = serializers.CharField(**_WORDS)
    known_by = serializers.CharField(**_WORDS)
    place = serializers.CharField(max_length=200, required=False, allow_blank=True)


class SubjectOut(serializers.Serializer[Any]):
    """One thing, where it was at that instant, in whose hands (null: ours)."""

    of = serializers.CharField()
    place = serializers.CharField(allow_null=True)
    holder = serializers.CharField(allow_null=True)


class IncidentOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    number = serializers.CharField()
    kind = serializers.ChoiceField(KINDS)
    says = serializers.CharField()
    things = SubjectOut(many=True)
    noticed_on = serializers.DateField()
    noticed_at = serializers.DateTimeField(allow_null=True)
    noticed_by = serializers.CharField(allow_null=True)
    happened_on = serializers.CharField()
    how = serializers.ChoiceField(HOWS, allow_blank=True)
    note = serializers.CharField()
    measures = serializers.CharField()
    told = serializers.CharField()
    searched = serializers.CharField()
    state = serializers.ChoiceField(STANDINGS)
    finds = serializers.CharField(allow_null=True)
    found_by = serializers.CharField(allow_null=True)
    claim = serializers.BooleanField(allow_null=True)
    treatment_wanted = serializers.BooleanField(allow_null=True)
    lesson = serializers.CharField()
    closed_on = serializers.DateField(allow_null=True)
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Incidents", responses=IncidentOut(many=True)),
    retrieve=extend_schema(summary="One incident, by number or uid", responses=IncidentOut),
)
class Incidents(Resource):
    """What happened to things."""

    acts = {"GET": "record.read", "POST": "incident.report"}
    sorts = {"noticed_on": "noticed_on", "number": "id", "id": "id"}
    sort = "-noticed_on"
    filterset_class = IncidentFilter
    serializer_class = IncidentOut
    queryset = Incident.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.incidents(reader)

    def show(self, record: Any) -> dict[str, Any]:
        same = ("number", "kind", "noticed_on", "noticed_at", "happened_on", "how", "note", "measures", "told",
                "searched", "claim", "treatment_wanted", "lesson", "closed_on", "version")  # fmt: skip
        found = getattr(record, "found_by", None)
        return {name: getattr(record, name) for name in same} | {
            "uid": str(record.uid),
            "says": reads.title_of(record),
            "things": [_thing(s) for s in record.subjects.all()],
            "noticed_by": record.noticed_by.name if record.noticed_by else None,
            "state": record.standing,
            "finds": record.finds.number if record.finds else None,
            "found_by": found.number if found else None,
        }

    @extend_schema(request=IncidentIn, responses={201: IncidentOut}, summary="Report what is missing, or found again")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        sent = self.said(IncidentIn)
        what = subject_said(self.actor, sent["of"], "of")
        by = person_said(self.actor, sent["noticed_by"], "noticed_by") if sent.get("noticed_by") else None
        told = {n: sent[n] for n in ("noticed_on", "note", "told", "searched") if sent.get(n)}
        said = IncidentSaid(**told, noticed_by=by)
        if sent["kind"] == "missing":
            incident = actions.report_missing(self.actor, what, said)
        else:
            place = place_said(self.actor, sent["place"], "place") if sent.get("place") else None
            search = reads.search_for(what)
            incident = actions.report_found(self.actor, search.pk, FoundSaid(said, sent.get("known_by", ""), place))
        now = self.one(incident.number)
        return made(self.show(now), f"/api/v1/incidents/{incident.number}/", etag_of(now))


def _thing(subject: Any) -> dict[str, Any]:
    return {
        "of": subject.number,
        "place": subject.place.code if subject.place else None,
        "holder": None if subject.ours else str(subject.holder or subject.holder_words or "somebody"),
    }
