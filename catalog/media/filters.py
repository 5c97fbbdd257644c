"""One set of filters a list: photographs, marks on them, papers on record."""

from __future__ import annotations

from typing import Any

import django_filters
from django.db.models import QuerySet

from catalog.casts.subject import Subject
from catalog.ground.lists import any_of
from catalog.ground.refusal import NotFound
from catalog.ground.roles import VISITOR
from catalog.media.models import Annotation, Document, Photograph
from catalog.media.reads import what_bears


class PhotographFilter(django_filters.FilterSet):
    """Photographs of a cast (with its pieces), a piece or an excavation, by its number."""

    of = django_filters.CharFilter(method="of_number")
    changed_since = django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")

    class Meta:
        model = Photograph
        fields: list[str] = []

    def of_number(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        try:
            of = what_bears(getattr(self.request, "actor", VISITOR), value)
        except NotFound:
            return rows.none()
        if not isinstance(of, Subject):
            return rows.filter(excavation=of)
        return rows.filter(piece=of.piece) if of.piece else rows.filter(cast=of.cast)


class DocumentFilter(django_filters.FilterSet):
    """Papers on record of a cast, by kind."""

    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))
    changed_since = django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")

    class Meta:
        model = Document
        fields: list[str] = []


class AnnotationFilter(django_filters.FilterSet):
    """Marks on one photograph, or on all of a cast."""

    photograph = django_filters.UUIDFilter(field_name="photograph__uid")
    cast = django_filters.CharFilter(field_name="photograph__cast__number", lookup_expr="iexact")
    changed_since = django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")

    class Meta:
        model = Annotation
        fields: list[str] = []
