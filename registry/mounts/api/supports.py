"""Supports: where each is, what it may bear, how it was found."""

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
from registry.mounts import actions, reads
from registry.mounts.api.mounts import length_mm
from registry.mounts.filters import SupportFilter
from registry.mounts.models import Support
from registry.mounts.said import SupportSaid as Said


class SupportChanges(Strict):
    """What may be said of a support: millimetres from the corner on the left in front, capacity in newtons with its source."""

    number = serializers.CharField(max_length=10, required=False)
    x_mm = serializers.DecimalField(max_digits=8, decimal_places=1, required=False)
    y_mm = serializers.DecimalField(max_digits=8, decimal_places=1, required=False)
    z_mm = length_mm()
    angle_deg = serializers.DecimalField(max_digits=4, decimal_places=1, required=False, allow_null=True)
    capacity_n = serializers.DecimalField(max_digits=9, decimal_places=1, required=False, allow_null=True)
    capacity_source = serializers.CharField(max_length=300, required=False, allow_blank=True)
    safety = serializers.DecimalField(max_digits=4, decimal_places=1, required=False, allow_null=True)
    fixed_into = serializers.CharField(max_length=200, required=False, allow_blank=True)
    assessed_by = serializers.CharField(max_length=200, required=False, allow_blank=True)
    note = serializers.CharField(max_length=5000, required=False, allow_blank=True)


class SupportSaid(SupportChanges):
    """A new support of a mount."""

    mount = serializers.CharField(max_length=40)
    number = serializers.CharField(max_length=10)
    x_mm = serializers.DecimalField(max_digits=8, decimal_places=1)
    y_mm = serializers.DecimalField(max_digits=8, decimal_places=1)


class SupportShown(serializers.Serializer[Any]):
    """`state`: as the latest inspection found it, empty before; `gone_on`: since when it is no longer there."""

    uid = serializers.UUIDField()
    mount = serializers.CharField()
    number = serializers.CharField()
    x_mm = serializers.DecimalField(max_digits=8, decimal_places=1)
    y_mm = serializers.DecimalField(max_digits=8, decimal_places=1)
    z_mm = serializers.DecimalField(max_digits=8, decimal_places=1, allow_null=True)
    angle_deg = serializers.DecimalField(max_digits=4, decimal_places=1, allow_null=True)
    capacity_n = serializers.DecimalField(max_digits=9, decimal_places=1, allow_null=True)
    capacity_source = serializers.CharField()
    safety = serializers.DecimalField(max_digits=4, decimal_places=1, allow_null=True)
    fixed_into = serializers.CharField()
    assessed_by = serializers.CharField()
    note = serializers.CharField()
    state = serializers.CharField()
    gone_on = serializers.DateField(allow_null=True)
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Supports of mounts", responses=SupportShown(many=True)),
    retrieve=extend_schema(summary="One support, by uid", responses=SupportShown),
)
class Supports(Resource):
    """The points where mounts carry."""

    acts = {"GET": "record.read", "POST": "mount.write", "PATCH": "mount.write"}
    number_field = "uid"
    filterset_class = SupportFilter
    serializer_class = SupportShown
    queryset = Support.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.supports(reader)

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return rows.filter(uid=number).first() if as_uid(number) else None

    def show(self, record: Any) -> dict[str, Any]:
        names = (*Said.__dataclass_fields__, "state", "gone_on", "version")
        return {"uid": str(record.uid), "mount": record.mount.number, **{n: getattr(record, n) for n in names}}

    @extend_schema(request=SupportSaid, responses={201: SupportShown}, summary="A new support")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(SupportSaid)
        mount = reads.mount_said(self.actor, said.pop("mount"))
        support = actions.add_support(self.actor, mount, Said(**said))
        return made(self.show(support), f"/api/v1/supports/{support.uid}/", etag_of(support))

    @extend_schema(request=SupportChanges, responses=SupportShown, summary="Change a support (with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        support, version = self.one(number), self.seen_version()
        said = self.said(SupportChanges, partial=True)
        now = actions.change_support(self.actor, support.pk, said, expected_version=version)
        return Response(self.show(now), headers={"ETag": etag_of(now)})
