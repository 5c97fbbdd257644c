"""What is on mounts, and was."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.ids import as_uid
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.mounts import actions, reads
from registry.mounts.api.mounts import length_mm
from registry.mounts.filters import MountedFilter
from registry.mounts.models import Mounted
from registry.mounts.reads.mounts import mounted_rows
from registry.mounts.said import MountedSaid as Said
from registry.places.reads import person_said, place_said, subject_said


class MountedSaid(Strict):
    """What is put on which mount; `x_mm`, `y_mm`, `z_mm`: its middle from the mount's corner on the left in front."""

    what = serializers.CharField(max_length=60)
    mount = serializers.CharField(max_length=40)
    on = serializers.DateField(required=False, allow_null=True)
    by = serializers.CharField(max_length=200, required=False, allow_blank=True, allow_null=True)
    x_mm = length_mm()
    y_mm = length_mm()
    z_mm = length_mm()


class TakenOffSaid(Strict):
    """How it was taken down and who helped; `to`: where it goes, wanted where the mount is its place."""

    words = serializers.CharField(max_length=300)
    to = serializers.CharField(max_length=200, required=False, allow_blank=True, allow_null=True)
    on = serializers.DateField(required=False, allow_null=True)
    by = serializers.CharField(max_length=200, required=False, allow_blank=True, allow_null=True)


class MountedShown(serializers.Serializer[Any]):
    """`off_on`: the day it was taken off, null while it is on."""

    uid = serializers.UUIDField()
    what = serializers.CharField()
    mount = serializers.CharField()
    x_mm = serializers.DecimalField(max_digits=8, decimal_places=1, allow_null=True)
    y_mm = serializers.DecimalField(max_digits=8, decimal_places=1, allow_null=True)
    z_mm = serializers.DecimalField(max_digits=8, decimal_places=1, allow_null=True)
    on = serializers.DateField()
    by = serializers.CharField(allow_null=True)
    off_on = serializers.DateField(allow_null=True)
    off_by = serializers.CharField(allow_null=True)
    off_words = serializers.CharField()
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="What is on mounts, and was", responses=MountedShown(many=True)),
    retrieve=extend_schema(summary="One mounting, by uid", responses=MountedShown),
)
class MountedThings(Resource):
    """Casts and pieces on mounts. PATCH takes one off."""

    acts = {"GET": "record.read", "POST": "mount.write", "PATCH": "mount.write"}
    number_field = "uid"
    filterset_class = MountedFilter
    serializer_class = MountedShown
    queryset = Mounted.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return visible_to(reader, mounted_rows().select_related("mount"))

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return rows.filter(uid=number).first() if as_uid(number) else None

    def show(self, record: Any) -> dict[str, Any]:
        return {
            "uid": str(record.uid),
            "what": str(record.thing),
            "mount": record.mount.number,
            **{n: getattr(record, n) for n in ("x_mm", "y_mm", "z_mm", "on", "off_on", "off_words", "version")},
            "by": record.by.name if record.by else None,
            "off_by": record.off_by.name if record.off_by else None,
        }

    @extend_schema(request=MountedSaid, responses={201: MountedShown}, summary="Put a cast or a piece on a mount")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(MountedSaid)
        mount, what = reads.mount_said(self.actor, said.pop("mount")), subject_said(self.actor, said.pop("what"))
        said["by"] = person_said(self.actor, said["by"], "by") if said.get("by") else None
        row = actions.mount_cast(self.actor, mount, what, Said(**said))
        return made(self.show(row), f"/api/v1/mounted/{row.uid}/", etag_of(row))

    @extend_schema(request=TakenOffSaid, responses=MountedShown, summary="Take it off its mount (with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        row, version = self.one(number), self.seen_version()
        said = self.said(TakenOffSaid)
        said["to"] = place_said(self.actor, said["to"], "to") if said.get("to") else None
        said["by"] = person_said(self.actor, said["by"], "by") if said.get("by") else None
        now = actions.unmount(self.actor, row.pk, **said, expected_version=version)
        return Response(self.show(now), headers={"ETag": etag_of(now)})
