"""Sites and permits by the API."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse
from drf_spectacular.utils import extend_schema, extend_schema_view
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.excavations import actions, reads
from catalog.excavations.api.said import ByUid, named, person_of, shown, site_of, whole, words
from catalog.excavations.filters import PERMIT_SORTS, SITE_SORTS, PermitFilter, SiteFilter
from catalog.excavations.models import Permit, Site
from catalog.ground.api import Strict, etag_of, made
from catalog.ground.members import ExactDay
from catalog.ground.refusal import Reason, Refusal, Stale
from catalog.ground.roles import Actor


class SiteIn(Strict):
    name = serializers.CharField(max_length=200)
    region = words(200, help_text="As visitors may read it.")
    country = words(2)
    note = words(10_000)


class SiteOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    name = serializers.CharField()
    region = serializers.CharField()
    country = serializers.CharField()
    category = serializers.ChoiceField(Site.CATEGORIES)
    category_ground = serializers.CharField()
    note = serializers.CharField()
    n_excavations = serializers.IntegerField()
    version = serializers.IntegerField()
    changed_at = serializers.DateTimeField()


@extend_schema_view(
    list=extend_schema(summary="Sites", responses=SiteOut(many=True)),
    retrieve=extend_schema(summary="One site, by uid", responses=SiteOut),
)
class Sites(ByUid):
    """Where one digs. How strictly a site is kept back is set at `sites/<uid>/category/`."""

    acts = {"GET": "record.read", "POST": "site.write", "PATCH": "site.write"}
    sorts = SITE_SORTS
    sort = "name"
    filterset_class = SiteFilter
    serializer_class = SiteOut
    queryset = Site.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.sites(reader)

    def show(self, record: Any) -> dict[str, Any]:
        record = whole(self, record, "n_digs")
        names = ("name", "region", "country", "category", "category_ground", "note", "version", "changed_at")
        return {
            "uid": str(record.uid),
            **{n: getattr(record, n) for n in names},
            "n_excavations": record.n_digs,
        }

    @extend_schema(request=SiteIn, responses={201: SiteOut}, summary="Write a site")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        site = actions.name_site(self.actor, self.said(SiteIn))
        return made(self.show(site), f"/api/v1/sites/{site.uid}/", etag_of(site))

    @extend_schema(request=SiteIn(partial=True), responses=SiteOut, summary="Change a site (merge, with If-Match)")
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        site, version = self.one(number), self.seen_version()
        actions.change_site(self.actor, site.pk, self.said(SiteIn, partial=True), expected_version=version)
        now = self.one(number)
        return Response(self.show(now), headers={"ETag": etag_of(now)})


class CategoryIn(Strict):
    category = serializers.ChoiceField(Site.CATEGORIES)
    ground = serializers.CharField(max_length=300)
    version = serializers.IntegerField(required=False, help_text="The site's version that you saw.")


class SiteCategory(Sites):
    """A grave act: a token must name `site.category`."""

    acts = {"POST": "site.category"}

    @extend_schema(request=CategoryIn, responses={201: SiteOut}, summary="Set how strictly a site is kept back")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._raise)

    def _raise(self) -> Response:
        site, said = self.one(self.kwargs["number"]), self.said(CategoryIn)
        version = said.get("version")
        if version is not None and version != site.version:
            raise Stale("Somebody saved before you.", now=site)
        actions.raise_category(self.actor, site.pk, said["category"], said["ground"], expected_version=version)
        now = self.one(self.kwargs["number"])
        return made(self.show(now), f"/api/v1/sites/{now.uid}/", etag_of(now))


class PermitIn(Strict):
    """A collecting permit or a landowner's consent, as the paper says."""

    kind = serializers.ChoiceField(Permit.KINDS)
    number = serializers.CharField(max_length=80)
    given_by = named(help_text="A name we know, or a uid.")
    holder = named(help_text="A name we know, or a uid.")
    site = named(help_text="Name or uid.")
    from_on = ExactDay(required=False, allow_null=True)
    until_on = ExactDay(required=False, allow_null=True)
    most_nests = serializers.IntegerField(min_value=0, max_value=10_000, required=False, allow_null=True)
    animals = words(300)
    method = words(300)
    duties = words(10_000)
    where_it_lies = words(300)
    note = words(10_000)


class PermitOut(serializers.Serializer[Any]):
    uid = serializers.UUIDField()
    kind = serializers.ChoiceField(Permit.KINDS)
    number = serializers.CharField()
    given_by = serializers.CharField(allow_null=True)
    holder = serializers.CharField(allow_null=True)
    site = serializers.CharField(allow_null=True)
    from_on = serializers.DateField(allow_null=True)
    until_on = serializers.DateField(allow_null=True)
    most_nests = serializers.IntegerField(allow_null=True)
    n_nests = serializers.IntegerField(help_text="How many digs rest on it.")
    animals = serializers.CharField()
    method = serializers.CharField()
    duties = serializers.CharField()
    where_it_lies = serializers.CharField()
    note = serializers.CharField()
    version = serializers.IntegerField()
    changed_at = serializers.DateTimeField()


@extend_schema_view(
    list=extend_schema(summary="Permits and consents", responses=PermitOut(many=True)),
    retrieve=extend_schema(summary="One permit, by uid", responses=PermitOut),
)
class Permits(ByUid):
    acts = {"GET": "record.read", "POST": "permit.write", "PATCH": "permit.write"}
    sorts = PERMIT_SORTS
    sort = "number"
    filterset_class = PermitFilter
    serializer_class = PermitOut
    queryset = Permit.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return reads.permits(reader)

    def show(self, record: Any) -> dict[str, Any]:
        record = whole(self, record, "n_nests")
        names = ("kind", "number", "from_on", "until_on", "most_nests", "n_nests", "animals", "method", "duties")
        return {
            "uid": str(record.uid),
            **{n: getattr(record, n) for n in (*names, "where_it_lies", "note", "version", "changed_at")},
            "given_by": shown(record.given_by),
            "holder": shown(record.holder),
            "site": record.site.name if record.site else None,
        }

    def _said(self, *, partial: bool) -> dict[str, Any]:
        said = self.said(PermitIn, partial=partial)
        for name in ("given_by", "holder"):
            person_of(said, name)
        site_of(self.actor, said)
        if not partial and not said["number"].strip():
            raise Refusal(Reason("Write its number, or the words it is known by.", "number"))
        return said

    @extend_schema(request=PermitIn, responses={201: PermitOut}, summary="Write a permit or a consent")
    def create(self, request: Request, **kwargs: Any) -> HttpResponse:
        return self.write_once(self._create)

    def _create(self) -> Response:
        paper = actions.add_permit(self.actor, self._said(partial=False))
        return made(self.show(paper), f"/api/v1/permits/{paper.uid}/", etag_of(paper))

    @extend_schema(
        request=PermitIn(partial=True), responses=PermitOut, summary="Change a permit (merge, with If-Match)"
    )
    def partial_update(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        paper, version = self.one(number), self.seen_version()
        actions.change_permit(self.actor, paper.pk, self._said(partial=True), expected_version=version)
        now = self.one(number)
        return Response(self.show(now), headers={"ETag": etag_of(now)})
