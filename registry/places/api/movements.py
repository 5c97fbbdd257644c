"""Movements as the API reads and writes them."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from django.utils import timezone
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import Resource, Strict, made
from catalog.ground.ids import as_uid
from catalog.ground.roles import Actor
from registry.places import actions, reads
from registry.places.filters import MovementFilter
from registry.places.models import Movement


class MovementSaid(Strict):
    """What goes where. `by`: a person's name or uid; `at`: when, now if left out; `made_at`: when a phone without signal kept it."""

    what = serializers.CharField(max_length=200)
    to = serializers.CharField(max_length=200)
    because = serializers.CharField(max_length=300, required=False, allow_blank=True)
    by = serializers.CharField(max_length=200, required=False, allow_blank=True, allow_null=True)
    at = serializers.DateTimeField(required=False, allow_null=True)
    back_on = serializers.DateField(required=False, allow_null=True)
    made_at = serializers.DateTimeField(required=False, allow_null=True)


class MovementShown(serializers.Serializer[Any]):
    """`says`: where it is now, in a sentence. `put_right`: a later movement corrects this one; `corrects`: the one it corrects."""

    uid = serializers.UUIDField()
    what = serializers.CharField()
    kind = serializers.ChoiceField(choices=["cast", "piece", "container"])
    to = serializers.CharField(allow_null=True)
    because = serializers.CharField()
    by = serializers.CharField(allow_null=True)
    at = serializers.DateTimeField()
    back_on = serializers.DateField(allow_null=True)
    corrects = serializers.UUIDField(allow_null=True)
    put_right = serializers.BooleanField()
    written_at = serializers.DateTimeField()
    written_by = serializers.CharField(allow_null=True)
    says = serializers.CharField(required=False)

    def get_fields(self) -> dict[str, Any]:
        """`from` is a word of the language, so it is added here."""
        return super().get_fields() | {"from": serializers.CharField(allow_null=True)}


@extend_schema_view(
    list=extend_schema(summary="Movements", responses=MovementShown(many=True)),
    retrieve=extend_schema(summary="One movement, by uid", responses=MovementShown),
)
class Movements(Resource):
    """What went from where to where. A movement is never changed; a wrong one is followed by the right one."""

    acts = {"GET": "record.read", "POST": "move.do"}
    sorts = {"at": "at", "written_at": "written_at", "id": "id"}
    sort = "-at"
    number_field = "uid"
    filterset_class = MovementFilter
    serializer_class = MovementShown
    queryset = Movement.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.movements(reader)

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        uid = as_uid(number)
        return rows.filter(uid=uid).first() if uid else None

    def show(self, record: Any) -> dict[str, Any]:
        return {
            "uid": str(record.uid),
            "what": record.number,
            "kind": "container" if record.container_id else "piece" if record.piece_id else "cast",
            "from": record.from_place.code if record.from_place else None,
            "to": record.to_place.code if record.to_place else None,
            "because": record.because,
            "by": record.by.name if record.by else None,
            "at": record.at,
            "back_on": record.back_on,
            "corrects": str(record.replaces.uid) if record.replaces else None,
            "put_right": getattr(record, "put_right", False),
            "written_at": record.written_at,
            "written_by": str(record.written_by.person) if record.written_by else None,
        }

    @extend_schema(request=MovementSaid, responses={201: MovementShown}, summary="Move a cast, a piece or a container")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(MovementSaid)
        what = reads.thing_said(self.actor, said["what"])
        to = reads.place_said(self.actor, said["to"], "to")
        by = reads.person_said(self.actor, said["by"], "by") if said.get("by") else reads.me(self.actor)
        at = said.get("at") or _kept_at(said.get("made_at"))
        more = {"because": said.get("because", ""), "back_on": said.get("back_on")}
        moved = actions.move(self.actor, what, to, by=by, at=at, **more)
        shown = self.show(self.rows(self.actor).get(pk=moved.pk))
        shown["says"] = reads.said_of_move(self.actor, moved)
        return made(shown, f"/api/v1/movements/{moved.uid}/")


def _kept_at(made_at: datetime | None) -> datetime | None:
    """What a phone kept without signal happened when it was kept, by the phone's clock, and never later than now."""
    return min(made_at, timezone.now()) if made_at else None
