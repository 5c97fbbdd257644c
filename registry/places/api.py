"""Places, movements and placements as the API reads and writes them."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import F, QuerySet
from django.http import HttpResponse
from django.utils import timezone
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts.subject import Subject
from catalog.ground.api import Resource, Strict, as_uid, etag_of, made
from catalog.ground.problems import refusal_with
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor
from registry.places import actions, reads
from registry.places.filters import MovementFilter, PlaceFilter, PlacementFilter
from registry.places.models import Movement, Place, Placement

# places


class PlaceChanges(Strict):
    """What may be said of a place."""

    name = serializers.CharField(max_length=200, required=False)
    kind = serializers.ChoiceField(Place.KINDS, required=False)
    parent = serializers.CharField(max_length=200, required=False, allow_null=True, allow_blank=True)  # type: ignore[assignment]
    movable = serializers.BooleanField(required=False)
    holds_kg = serializers.DecimalField(max_digits=8, decimal_places=2, required=False, allow_null=True)
    fitness = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    who_enters = serializers.CharField(max_length=200, required=False, allow_blank=True)
    note = serializers.CharField(max_length=5000, required=False, allow_blank=True)


class PlaceSaid(PlaceChanges):
    """A new place: its code, which stays, its name and its kind."""

    code = serializers.CharField(max_length=20)
    name = serializers.CharField(max_length=200)
    kind = serializers.ChoiceField(Place.KINDS)


class PlaceShown(serializers.Serializer[Any]):
    """`path`: the codes of what it stands in, outermost first, and its own."""

    uid = serializers.UUIDField()
    code = serializers.CharField()
    name = serializers.CharField()
    kind = serializers.CharField()
    movable = serializers.BooleanField()
    parent = serializers.CharField(allow_null=True)  # type: ignore[assignment]
    path = serializers.ListField(child=serializers.CharField())
    holds_kg = serializers.DecimalField(max_digits=8, decimal_places=2, allow_null=True)
    fitness = serializers.CharField()
    who_enters = serializers.CharField()
    note = serializers.CharField()
    closed_on = serializers.DateField(allow_null=True)
    changed_at = serializers.DateTimeField()
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Places and containers", responses=PlaceShown(many=True)),
    retrieve=extend_schema(summary="One place, by code or uid", responses=PlaceShown),
)
class Places(Resource):
    """The place tree. A container is moved by a movement, not changed."""

    acts = {"GET": "place.read", "POST": "place.write", "PATCH": "place.write"}
    sorts = {"code": "code", "name": "name", "changed_at": "changed_at", "id": "id"}
    sort = "code"
    number_field = "code"
    filterset_class = PlaceFilter
    serializer_class = PlaceShown
    queryset = Place.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.places_for(reader)

    def show(self, record: Any) -> dict[str, Any]:
        return self.show_many([record])[0]

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        paths = reads.code_paths()
        names = ("code", "name", "kind", "movable", "holds_kg", "fitness", "who_enters", "note", "closed_on")
        return [
            {
                "uid": str(p.uid),
                **{n: getattr(p, n) for n in names},
                "parent": p.parent.code if p.parent else None,
                "path": paths[p.pk],
                "changed_at": p.changed_at,
                "version": p.version,
            }
            for p in records
        ]

    @extend_schema(request=PlaceSaid, responses={201: PlaceShown}, summary="A new place")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self._resolved(self.said(PlaceSaid))
        place = actions.add_place(self.actor, said.pop("code"), said.pop("name"), said.pop("kind"), **said)
        return made(self.show(place), f"/api/v1/places/{place.code}/", etag_of(place))

    @extend_schema(request=PlaceChanges, responses=PlaceShown, summary="Change a place (merge patch, with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        place, version = self.one(number), self.seen_version()
        said = self._resolved(self.said(PlaceChanges, partial=True))
        now = actions.change_place(self.actor, place.pk, said, expected_version=version)
        return Response(self.show(now), headers={"ETag": etag_of(now)})

    def _resolved(self, said: dict[str, Any]) -> dict[str, Any]:
        if "parent" in said:
            said["parent"] = reads.place_said(self.actor, said["parent"], "parent") if said["parent"] else None
        return said


# movements


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


# placements


class PlacementShown(serializers.Serializer[Any]):
    """Where a cast, or a piece with a place of its own, is and belongs. With `at`, `place` and `path` are of that instant."""

    uid = serializers.UUIDField()
    what = serializers.CharField()
    cast = serializers.CharField()
    piece = serializers.CharField(allow_null=True)
    place = serializers.CharField(allow_null=True)
    path = serializers.ListField(child=serializers.CharField())
    home = serializers.CharField(allow_null=True)
    since = serializers.DateTimeField(allow_null=True)
    back_on = serializers.DateField(allow_null=True)
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Where things are, now or at an instant", responses=PlacementShown(many=True)),
    retrieve=extend_schema(summary="One placement, by uid or by the number of its cast", responses=PlacementShown),
)
class Placements(Resource):
    """Where things are. They are changed by movements."""

    acts = {"GET": "record.read"}
    sorts = {"number": "cast_sort", "id": "id"}
    sort = "number"
    filterset_class = PlacementFilter
    serializer_class = PlacementShown
    queryset = Placement.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.placements(reader).annotate(cast_sort=F("cast__sort"))

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        uid = as_uid(number)
        return rows.filter(uid=uid).first() if uid else rows.filter(cast__number__iexact=number, piece=None).first()

    def filter_queryset(self, queryset: QuerySet[Any]) -> QuerySet[Any]:
        asked = self.request.query_params
        if self._at() and (asked.get("place") or asked.get("within")):
            sentence = "`at` goes with `cast` or `home`: what a place held at an instant is not kept as a list."
            raise refusal_with(400, Reason(sentence, "at"))
        return super().filter_queryset(queryset)

    def _at(self) -> datetime | None:
        said = self.request.query_params.get("at")
        if not said:
            return None
        try:
            at: datetime = serializers.DateTimeField().to_internal_value(said)
        except serializers.ValidationError:
            raise refusal_with(
                400, Reason("Write the instant as 2026-11-20T14:02:00+01:00.", "at", said=said)
            ) from None
        return at

    def show(self, record: Any) -> dict[str, Any]:
        return self.show_many([record])[0]

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        at = self._at()
        subjects = [Subject(p.cast, p.piece) for p in records]
        paths = reads.where_is(subjects, at)
        return [
            {
                "uid": str(p.uid),
                "what": str(subject),
                "cast": p.cast.number,
                "piece": p.piece.number if p.piece else None,
                "place": paths[subject][-1].code if paths[subject] else None,
                "path": [place.code for place in paths[subject]],
                "home": p.home.code if p.home else None,
                "since": p.since if at is None else None,
                "back_on": p.back_on if at is None else None,
                "version": p.version,
            }
            for p, subject in zip(records, subjects, strict=True)
        ]
