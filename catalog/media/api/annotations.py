"""Marks as documents of the W3C Web Annotation Data Model."""

from __future__ import annotations

import uuid
from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.api import Strict, etag_of, made
from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from catalog.media import actions, reads
from catalog.media.api.photographs import ByUid
from catalog.media.filters import AnnotationFilter
from catalog.media.models import Annotation, Photograph
from catalog.media.shapes import KINDS


class AnnotationSaid(Strict):
    """Where on which photograph. `position`: pixels of the upright original, `410,220` or `410,220 480,260`."""

    photograph = serializers.UUIDField()
    shape = serializers.ChoiceField(KINDS)
    position = serializers.CharField(max_length=4000)
    radius_px = serializers.IntegerField(required=False, allow_null=True, help_text="of the ring round a point")
    words = serializers.CharField(max_length=500, required=False, allow_blank=True)


class AnnotationTakenOff(Strict):
    taken_off_because = serializers.CharField(max_length=300)


class AnnotationShown(serializers.Serializer[Any]):
    """A document of the Web Annotation Data Model; `target.selector` is a FragmentSelector or a SvgSelector in pixels."""

    id = serializers.URLField()
    type = serializers.ChoiceField(choices=["Annotation"])
    motivation = serializers.CharField()
    created = serializers.DateTimeField()
    modified = serializers.DateTimeField()
    creator = serializers.DictField(required=False)
    body = serializers.DictField(required=False)
    target = serializers.DictField()

    def get_fields(self) -> dict[str, Any]:
        """`@context` is no name of the language, so it is added here."""
        return {"@context": serializers.URLField()} | super().get_fields()


@extend_schema_view(
    list=extend_schema(summary="Marks on photographs", responses=AnnotationShown(many=True)),
    retrieve=extend_schema(summary="One mark, by uid", responses=AnnotationShown),
)
class Annotations(ByUid):
    """Marks on photographs, as W3C Web Annotations. A mark is never moved: it is taken off, and another is drawn."""

    acts = {"GET": "record.read", "POST": "mark.draw", "PATCH": "mark.draw"}
    filterset_class = AnnotationFilter
    serializer_class = AnnotationShown
    queryset = Annotation.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.marks_for(reader).filter(taken_off_on__isnull=True)

    def show(self, record: Annotation) -> dict[str, Any]:
        return reads.as_document(record)

    @extend_schema(request=AnnotationSaid, responses={201: AnnotationShown}, summary="Mark something on a photograph")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        said = self.said(AnnotationSaid)
        photograph = _photograph(self.actor, said.pop("photograph"))
        drawn = actions.mark(self.actor, photograph, said.pop("shape"), said.pop("position"), **said)
        return made(self.show(drawn), f"/api/v1/annotations/{drawn.uid}/", etag_of(drawn))

    @extend_schema(request=AnnotationTakenOff, responses={204: None}, summary="Take a mark off, with the reason")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        held, seen = self.one(number), self.seen_version()
        because = self.said(AnnotationTakenOff)["taken_off_because"]
        actions.unmark(self.actor, held.pk, because, expected_version=seen)
        return Response(status=204)


def _photograph(reader: Actor, uid: uuid.UUID) -> Photograph:
    try:
        return reads.photograph_at(reader, uid)
    except NotFound:
        raise Refusal(Reason("We have no such photograph.", "photograph", said=str(uid))) from None
