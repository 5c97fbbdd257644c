"""Mounts with their loads."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.roles import Actor
from registry.mounts import actions, reads
from registry.mounts.filters import MountFilter
from registry.mounts.models import Mount
from registry.mounts.reads.loads import Loaded
from registry.mounts.said import MountSaid as Said
from registry.places.reads import place_said


def length_mm(**more: Any) -> serializers.DecimalField:
    return serializers.DecimalField(max_digits=8, decimal_places=1, required=False, allow_null=True, **more)


class MountChanges(Strict):
    """What may be said of a mount. `closes`: the place below, by its code; `stays`: not to be moved without its plan."""

    name = serializers.CharField(max_length=200, required=False)
    kind = serializers.ChoiceField(Mount.KINDS, required=False)
    holding = serializers.ChoiceField(Mount.HOLDINGS, required=False)
    both_ways = serializers.BooleanField(required=False)
    overhead = serializers.BooleanField(required=False)
    stays = serializers.BooleanField(required=False)
    closes = serializers.CharField(max_length=200, required=False, allow_null=True, allow_blank=True)
    maker = serializers.CharField(max_length=200, required=False, allow_blank=True)
    made_on = serializers.CharField(max_length=40, required=False, allow_blank=True)
    touches = serializers.CharField(max_length=300, required=False, allow_blank=True)
    mass_g = serializers.DecimalField(max_digits=12, decimal_places=3, required=False, allow_null=True)
    x_mm = length_mm()
    y_mm = length_mm()
    z_mm = length_mm()
    dynamic = serializers.DecimalField(max_digits=4, decimal_places=2, required=False)
    plan = serializers.CharField(max_length=5000, required=False, allow_blank=True)
    people_needed = serializers.IntegerField(min_value=1, max_value=99, required=False, allow_null=True)
    gear = serializers.CharField(max_length=300, required=False, allow_blank=True)
    inspect_months = serializers.IntegerField(min_value=1, max_value=120, required=False, allow_null=True)
    note = serializers.CharField(max_length=5000, required=False, allow_blank=True)


class MountSaid(MountChanges):
    """A new mount. `place`: the place that it is already; `stands_in`: where it stands, then it becomes a place."""

    name = serializers.CharField(max_length=200)
    kind = serializers.ChoiceField(Mount.KINDS)
    place = serializers.CharField(max_length=200, required=False, allow_null=True, allow_blank=True)
    stands_in = serializers.CharField(max_length=200, required=False, allow_null=True, allow_blank=True)


class LoadShown(serializers.Serializer[Any]):
    """`even_n`: if all supports sit equally; `worst_n`: the most it may get, which is what counts."""

    support = serializers.CharField()
    even_n = serializers.FloatField(allow_null=True)
    worst_n = serializers.FloatField(allow_null=True)
    use = serializers.FloatField(allow_null=True)
    verdict = serializers.ChoiceField(["in order", "near", "over-loaded", "capacity unknown", "no verdict"])


class MountShown(serializers.Serializer[Any]):
    """`loads`: static only, without the supports in `left_out` (those that failed); `no_answer`: why there are none."""

    uid = serializers.UUIDField()
    number = serializers.CharField()
    name = serializers.CharField()
    kind = serializers.ChoiceField(Mount.KINDS)
    holding = serializers.ChoiceField(Mount.HOLDINGS)
    both_ways = serializers.BooleanField()
    overhead = serializers.BooleanField()
    stays = serializers.BooleanField()
    place = serializers.CharField(allow_null=True)
    closes = serializers.CharField(allow_null=True)
    closed_on = serializers.DateField(allow_null=True)
    maker = serializers.CharField()
    made_on = serializers.CharField()
    touches = serializers.CharField()
    mass_g = serializers.DecimalField(max_digits=12, decimal_places=3, allow_null=True)
    x_mm = serializers.DecimalField(max_digits=8, decimal_places=1, allow_null=True)
    y_mm = serializers.DecimalField(max_digits=8, decimal_places=1, allow_null=True)
    z_mm = serializers.DecimalField(max_digits=8, decimal_places=1, allow_null=True)
    dynamic = serializers.DecimalField(max_digits=4, decimal_places=2)
    plan = serializers.CharField()
    people_needed = serializers.IntegerField(allow_null=True)
    gear = serializers.CharField()
    inspect_months = serializers.IntegerField(allow_null=True)
    inspect_by = serializers.DateField(allow_null=True)
    note = serializers.CharField()
    on_it = serializers.ListField(child=serializers.CharField())
    carried_g = serializers.DecimalField(max_digits=14, decimal_places=3)
    weight_n = serializers.FloatField()
    loads = LoadShown(many=True)
    left_out = serializers.ListField(child=serializers.CharField())
    no_answer = serializers.CharField()
    notes = serializers.ListField(child=serializers.CharField())
    changed_at = serializers.DateTimeField()
    version = serializers.IntegerField()


_PLAIN = tuple(n for n in Said.__dataclass_fields__ if n not in ("place", "stands_in", "closes"))


def shown(m: Any, loaded: Loaded) -> dict[str, Any]:
    return {
        "uid": str(m.uid),
        "number": m.number,
        **{n: getattr(m, n) for n in (*_PLAIN, "closed_on", "inspect_by", "changed_at", "version")},
        "place": m.place.code if m.place else None,
        "closes": m.closes.code if m.closes else None,
        "on_it": [str(row.thing) for row in m.on_it],
        "carried_g": loaded.shown.mass_g,
        "weight_n": round(loaded.shown.weight_n, 4),
        "loads": [
            {"support": s.name, "even_n": s.even_n, "worst_n": s.worst_n, "use": s.use, "verdict": s.verdict}
            for s in loaded.shown.supports
        ],
        "left_out": loaded.left_out,
        "no_answer": loaded.shown.no_answer,
        "notes": [*loaded.notes, *loaded.shown.notes],
    }


@extend_schema_view(
    list=extend_schema(summary="Mounts with the load on each support", responses=MountShown(many=True)),
    retrieve=extend_schema(summary="One mount, by number or uid", responses=MountShown),
)
class Mounts(Resource):
    """What carries casts, and how safely. Loads are on record, not a design; an engineer decides what hangs over people."""

    acts = {"GET": "record.read", "POST": "mount.write", "PATCH": "mount.write"}
    sorts = {"number": "sort", "inspect_by": "inspect_by", "changed_at": "changed_at", "id": "id"}
    sort = "id"
    filterset_class = MountFilter
    serializer_class = MountShown
    queryset = Mount.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.mounts(reader)

    def show(self, record: Any) -> dict[str, Any]:
        whole = record if hasattr(record, "on_it") else self.rows(self.actor).get(pk=record.pk)
        return self.show_many([whole])[0]

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        loads = reads.loads_of(records)
        return [shown(m, loads[m.pk]) for m in records]

    @extend_schema(request=MountSaid, responses={201: MountShown}, summary="A new mount")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self._resolved(self.said(MountSaid))
        mount = actions.add_mount(self.actor, Said(**said))
        return made(self.show(mount), f"/api/v1/mounts/{mount.number}/", etag_of(mount))

    @extend_schema(request=MountChanges, responses=MountShown, summary="Change a mount (merge patch, with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        mount, version = self.one(number), self.seen_version()
        said = self._resolved(self.said(MountChanges, partial=True))
        now = actions.change_mount(self.actor, mount.pk, said, expected_version=version)
        return Response(self.show(now), headers={"ETag": etag_of(now)})

    def _resolved(self, said: dict[str, Any]) -> dict[str, Any]:
        for name in ("place", "stands_in", "closes"):
            if name in said:
                said[name] = place_said(self.actor, said[name], name) if said[name] else None
        return said
