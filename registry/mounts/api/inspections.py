"""Inspections. A phone that had no signal sends the fields of the page's form: state_1, signs_1, note_1, …"""

from __future__ import annotations

import re
from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse, QueryDict
from django.utils import timezone
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import Resource, Strict, made
from catalog.ground.ids import as_uid
from catalog.ground.roles import Actor
from registry.mounts import actions, reads
from registry.mounts.filters import InspectionFilter
from registry.mounts.models import MountInspection, Support
from registry.mounts.rules.inspections import SIGNS
from registry.mounts.said import FoundSaid as Found
from registry.mounts.said import InspectionSaid as Said
from registry.places.reads import person_said

_OF_SUPPORT = re.compile(r"(state|signs|note)_([A-Za-z0-9]{1,10})")


class FoundSaid(Strict):
    """How one support was found."""

    number = serializers.CharField(max_length=10)
    state = serializers.ChoiceField(Support.STATES)
    signs = serializers.ListField(child=serializers.ChoiceField(list(SIGNS)), required=False)
    note = serializers.CharField(max_length=500, required=False, allow_blank=True)


class InspectionSaid(Strict):
    """Every support that stands is judged. `made_at`: when a phone without signal kept it."""

    mount = serializers.CharField(max_length=40)
    supports = FoundSaid(many=True)
    competence = serializers.CharField(max_length=200)
    on = serializers.DateField(required=False, allow_null=True)
    by = serializers.CharField(max_length=200, required=False, allow_blank=True, allow_null=True)
    clearance = serializers.ChoiceField(MountInspection.ROUND, required=False, allow_blank=True)
    barrier = serializers.ChoiceField(MountInspection.ROUND, required=False, allow_blank=True)
    action = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    note = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    next_due = serializers.DateField(required=False, allow_null=True)
    made_at = serializers.DateTimeField(required=False, allow_null=True)

    def to_internal_value(self, data: Any) -> Any:
        return super().to_internal_value(_from_form(data) if isinstance(data, QueryDict) else data)


def _from_form(data: QueryDict) -> dict[str, Any]:
    """The fields of the page's form as the document that is wanted here."""
    found: dict[str, dict[str, Any]] = {}
    plain: dict[str, Any] = {}
    for name in data:
        of = _OF_SUPPORT.fullmatch(name)
        if of is None:
            plain[name] = data[name]
            continue
        one = found.setdefault(of[2], {"number": of[2]})
        one[of[1]] = data.getlist(name) if of[1] == "signs" else data[name]
    return plain | {"supports": list(found.values())}


class FoundShown(serializers.Serializer[Any]):
    """How one support was found; `state` is sound, watch or fail."""

    number = serializers.CharField()
    state = serializers.ChoiceField(Support.STATES)
    signs = serializers.ListField(child=serializers.CharField())
    note = serializers.CharField()


class InspectionShown(serializers.Serializer[Any]):
    """`consequences`: what followed from a support that failed, in sentences; only in the answer to its writing."""

    uid = serializers.UUIDField()
    number = serializers.CharField()
    mount = serializers.CharField()
    on = serializers.DateField()
    by = serializers.CharField()
    competence = serializers.CharField()
    supports = FoundShown(many=True)
    clearance = serializers.CharField()
    barrier = serializers.CharField()
    action = serializers.CharField()
    note = serializers.CharField()
    next_due = serializers.DateField(allow_null=True)
    written_at = serializers.DateTimeField()
    consequences = serializers.ListField(child=serializers.CharField(), required=False)


@extend_schema_view(
    list=extend_schema(summary="Inspections of mounts", responses=InspectionShown(many=True)),
    retrieve=extend_schema(summary="One inspection, by uid", responses=InspectionShown),
)
class Inspections(Resource):
    """Looks at mounts. One is never changed; a later one follows."""

    acts = {"GET": "record.read", "POST": "mount.inspect"}
    sorts = {"on": "on", "written_at": "written_at", "id": "id"}
    sort = "-id"
    number_field = "uid"
    filterset_class = InspectionFilter
    serializer_class = InspectionShown
    queryset = MountInspection.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.inspections(reader)

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return rows.filter(uid=number).first() if as_uid(number) else None

    def show(self, record: Any) -> dict[str, Any]:
        names = ("on", "competence", "clearance", "barrier", "action", "note", "next_due", "written_at")
        return {
            "uid": str(record.uid),
            "number": record.mount.number,
            "mount": record.mount.number,
            "by": record.by.name,
            **{n: getattr(record, n) for n in names},
            "supports": [
                {"number": f.support.number, "state": f.state, "signs": f.signs, "note": f.note}
                for f in record.found.all()
            ],
        }

    @extend_schema(request=InspectionSaid, responses={201: InspectionShown}, summary="Write an inspection")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(InspectionSaid)
        mount = reads.mount_said(self.actor, said.pop("mount"))
        found = tuple(
            Found(f["number"], f["state"], tuple(f.get("signs", ())), f.get("note", "")) for f in said.pop("supports")
        )
        said["by"] = person_said(self.actor, said["by"], "by") if said.get("by") else None
        said["made_at"] = _kept_at(said.get("made_at"))
        done = actions.inspect_mount(self.actor, mount, Said(found=found, **said))
        shown = self.show(reads.inspection_at(self.actor, done.inspection.pk))
        shown["consequences"] = done.consequences
        return made(shown, f"/api/v1/inspections/{done.inspection.uid}/")


def _kept_at(made_at: datetime | None) -> datetime | None:
    """What a phone kept was seen when it was kept, by the phone's clock, and never later than now."""
    return min(made_at, timezone.now()) if made_at else None
