"""Photographs and papers on record as the API reads and takes them."""

from __future__ import annotations

from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import OpenApiParameter, extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.casts.reads import subject_of
from catalog.casts.subject import Subject
from catalog.excavations.models import Excavation
from catalog.ground.api import Resource, Strict, etag_of, made
from catalog.ground.collection import today
from catalog.ground.edtf import from_words, read_edtf
from catalog.ground.ids import as_uid
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.media import actions, reads
from catalog.media.files import Received, receive_paper, receive_photograph
from catalog.media.filters import DocumentFilter, PhotographFilter
from catalog.media.models import Document, Photograph
from catalog.media.rights import RIGHTS
from catalog.people.models import Person
from catalog.people.reads import person_meant

_KEY = [OpenApiParameter("Idempotency-Key", str, OpenApiParameter.HEADER, required=True)]


class PhotographSaid(Strict):
    """A form with files: one row a file, all or none."""

    of = serializers.CharField(max_length=60, help_text="number of a cast, a piece or an excavation")
    photograph = serializers.ListField(child=serializers.FileField(), max_length=40, allow_empty=False)
    view = serializers.CharField(max_length=80, required=False, allow_blank=True)
    has_scale = serializers.BooleanField(required=False, allow_null=True)
    of_label = serializers.BooleanField(required=False)
    shows_place = serializers.BooleanField(required=False, allow_null=True)
    caption = serializers.CharField(max_length=300, required=False, allow_blank=True)
    rights = serializers.ChoiceField(RIGHTS, required=False, allow_blank=True)
    by = serializers.CharField(max_length=200, required=False, allow_blank=True)


class PhotographShown(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    of = serializers.CharField()
    view = serializers.CharField()
    has_scale = serializers.BooleanField(allow_null=True)
    of_label = serializers.BooleanField()
    shows_place = serializers.BooleanField()
    caption = serializers.CharField()
    rights = serializers.CharField()
    by = serializers.CharField(allow_null=True)
    taken_at = serializers.CharField(
        allow_null=True, help_text="as the camera wrote it; without a zone unless it wrote one"
    )
    width_px = serializers.IntegerField(allow_null=True)
    height_px = serializers.IntegerField(allow_null=True)
    file_kind = serializers.CharField()
    size = serializers.IntegerField(help_text="bytes")
    sha256 = serializers.CharField()
    has_position = serializers.BooleanField()
    thumb = serializers.CharField()
    picture = serializers.CharField()
    original = serializers.CharField()
    withdrawn_on = serializers.DateField(allow_null=True)
    version = serializers.IntegerField()


class ByUid(Resource):
    """Things without a number: found by their public id."""

    number_field = "uid"
    sorts = {"id": "id", "changed_at": "changed_at"}

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        return rows.filter(uid=as_uid(number)).first() if as_uid(number) else None


@extend_schema_view(
    list=extend_schema(summary="Photographs", responses=PhotographShown(many=True)),
    retrieve=extend_schema(summary="One photograph, by uid", responses=PhotographShown),
)
class Photographs(ByUid):
    """Photographs of casts, pieces and excavations. The files themselves are at the addresses shown."""

    acts = {"GET": "record.read", "POST": "photo.add"}
    filterset_class = PhotographFilter
    serializer_class = PhotographShown
    queryset = Photograph.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.photographs(reader)

    def show(self, record: Photograph) -> dict[str, Any]:
        names = ("view", "has_scale", "of_label", "shows_place", "caption", "rights", "width_px", "height_px")
        files = ("file_kind", "size", "sha256", "has_position", "withdrawn_on", "version")
        at = f"/photographs/{record.uid}/"
        return {
            "uid": str(record.uid),
            "of": str(record.piece or record.cast or record.excavation),
            **{n: getattr(record, n) for n in names},
            "by": record.by.name if record.by else None,
            "taken_at": record.taken_at_said or None,
            **{n: getattr(record, n) for n in files},
            "thumb": f"{at}thumb.jpg",
            "picture": f"{at}view.jpg",
            "original": f"{at}original",
        }

    @extend_schema(
        summary="Keep photographs of one thing",
        request={"multipart/form-data": PhotographSaid},
        responses={201: PhotographShown},
        parameters=_KEY,
        description="One row a file. One file is answered as that photograph, several as `items`.",
    )
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        said = self.said(PhotographSaid)
        said["by"] = _person(said.get("by", ""))
        of = reads.what_bears(self.actor, said.pop("of"))
        uploads = said.pop("photograph")
        # before the key's transaction begins, so that nobody waits while pictures are opened
        files = [receive_photograph(u) for u in uploads] if request.headers.get("Idempotency-Key") else uploads
        return self.write_once(lambda: self._create(files, of, said))

    def _create(self, files: list[Any], of: Subject | Excavation, said: dict[str, Any]) -> Response:
        kept = actions.keep_photographs(self.actor, files, **_place(of), **said)
        shown = [self.show(p) for p in kept]
        at = f"/api/v1/photographs/{kept[0].uid}/"
        return made(shown[0] if len(kept) == 1 else {"items": shown}, at, etag_of(kept[0]))


def _place(of: Subject | Excavation) -> dict[str, Any]:
    if isinstance(of, Excavation):
        return {"excavation": of}
    return {"piece": of.piece} if of.piece else {"cast": of.cast}


def _person(said: str) -> Person | None:
    if not said:
        return None
    person = person_meant(said)
    if person is None:
        raise Refusal(Reason("We know nobody of this name. Add the person first.", "by", said=said))
    return person


class DocumentSaid(Strict):
    """A paper: JSON with the words where it lies, or a form with its file."""

    cast = serializers.CharField(max_length=60)
    kind = serializers.ChoiceField(Document.KINDS)
    what = serializers.CharField(max_length=300)
    where_it_lies = serializers.CharField(max_length=300, required=False, allow_blank=True)
    dated = serializers.CharField(max_length=60, required=False, allow_blank=True, help_text="EDTF or words")
    paper = serializers.FileField(required=False)


class DocumentShown(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    kind = serializers.CharField()
    what = serializers.CharField()
    cast = serializers.CharField(allow_null=True)
    excavation = serializers.CharField(allow_null=True)
    where_it_lies = serializers.CharField()
    dated = serializers.JSONField(help_text="edtf, earliest, latest")
    file = serializers.CharField(allow_null=True)
    file_kind = serializers.CharField()
    size = serializers.IntegerField(allow_null=True, help_text="bytes")
    sha256 = serializers.CharField()
    version = serializers.IntegerField()


@extend_schema_view(
    list=extend_schema(summary="Papers on record", responses=DocumentShown(many=True)),
    retrieve=extend_schema(summary="One paper, by uid", responses=DocumentShown),
)
class Documents(ByUid):
    """Papers on record."""

    acts = {"GET": "record.read", "POST": "cast.describe"}
    filterset_class = DocumentFilter
    serializer_class = DocumentShown
    queryset = Document.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.documents(reader)

    def show(self, record: Document) -> dict[str, Any]:
        span = read_edtf(record.dated) if record.dated else None
        names = ("kind", "what", "where_it_lies", "file_kind", "size", "sha256", "version")
        return {
            "uid": str(record.uid),
            "cast": record.cast.number if record.cast else None,
            "excavation": record.excavation.number if record.excavation else None,
            **{n: getattr(record, n) for n in names},
            "dated": {
                "edtf": record.dated,
                "earliest": span.earliest if span else None,
                "latest": span.latest if span else None,
            },
            "file": f"/documents/{record.uid}/file" if record.sha256 else None,
        }

    @extend_schema(
        summary="Put a paper on record",
        request={"multipart/form-data": DocumentSaid, "application/json": DocumentSaid},
        responses={201: DocumentShown},
        parameters=_KEY,
    )
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        said = self.said(DocumentSaid)
        said["cast"] = subject_of(self.actor, said["cast"]).cast
        said["dated"] = _dated(said.get("dated", ""))
        upload: UploadedFile[bytes] | None = said.pop("paper", None)
        file: Any = receive_paper(upload) if upload and request.headers.get("Idempotency-Key") else upload
        return self.write_once(lambda: self._create(file, said))

    def _create(self, file: Received | None, said: dict[str, Any]) -> Response:
        kept = actions.keep_document(self.actor, upload=file, **said)
        return made(self.show(kept), f"/api/v1/documents/{kept.uid}/", etag_of(kept))


def _dated(said: str) -> str:
    if not said:
        return ""
    try:
        return from_words(said, today=today())
    except ValueError as error:
        raise Refusal(Reason(str(error), "dated", said=said)) from None
