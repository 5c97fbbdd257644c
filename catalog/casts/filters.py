"""One set of filters for the list of casts: page, API and spreadsheet."""

from __future__ import annotations

import re
from typing import Any

import django_filters
from django.db.models import QuerySet

from catalog.casts.models import BreakFace, Cast, CrumbLot, Join, Piece, RefusedFit
from catalog.casts.subject import columns
from catalog.ground.lists import Facet, any_number_of, any_of
from catalog.ground.roles import VISITOR, Actor
from catalog.ground.search import find


class CastFilter(django_filters.FilterSet):
    """Words, material, animal, year, form; and what the rooms above add (state, place, holder)."""

    q = django_filters.CharFilter(method="words")
    material = django_filters.CharFilter(method=any_of("material", "material"))
    animal = django_filters.CharFilter(method=any_of("animal", "taxon__name"))
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))
    year = django_filters.CharFilter(method="years")
    excavation = django_filters.CharFilter(method="for_staff", field_name="excavation__number__iexact")
    changed_since = django_filters.IsoDateTimeFilter(method="for_staff", field_name="changed_at__gte")

    class Meta:
        model = Cast
        fields: list[str] = []

    @classmethod
    def known(cls) -> set[str]:
        more = {c.narrows[0] for c in columns() if c.narrows}
        return set(cls.base_filters) | more | {c.name for c in columns() if c.facet}

    def filter_queryset(self, queryset: QuerySet[Any]) -> QuerySet[Any]:
        rows = super().filter_queryset(queryset)
        for column in columns() if self._reader.staff else []:
            values = _values(self.data, column.name)
            if column.facet and values:
                rows = rows.filter(**{f"{column.column}__in": values})
            if column.narrows and (said := _values(self.data, column.narrows[0])):
                rows = column.narrows[1](rows, said)
        return rows

    @property
    def _reader(self) -> Actor:
        return getattr(self.request, "actor", VISITOR)

    def for_staff(self, rows: QuerySet[Any], name: str, value: Any) -> QuerySet[Any]:
        """What a visitor does not read narrows nothing for them: no cast is of it."""
        return rows.filter(**{name: value}) if self._reader.staff else rows.none()

    def words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        """Casts that the one box would find."""
        found = find(value, public=not self._reader.staff, kinds=["cast"], most=200)
        return rows.filter(pk__in=[e.object_id for e in found])

    def years(self, rows: QuerySet[Any], name: str, value: list[str]) -> QuerySet[Any]:
        """`2016`, `2014..2016`, `2014,2016`, or several of them."""
        said = ",".join(value)
        if span := re.fullmatch(r"(\d{4})?\.\.(\d{4})?", said):
            if span.group(1):
                rows = rows.filter(year__gte=span.group(1))
            return rows.filter(year__lte=span.group(2)) if span.group(2) else rows
        return rows.filter(year__in=[v for v in said.split(",") if v.isascii() and v.isdigit() and len(v) == 4])

    years.takes_many = True  # type: ignore[attr-defined]


def _values(data: Any, name: str) -> list[str]:
    if not data:
        return []
    many = data.getlist(name) if hasattr(data, "getlist") else [data.get(name)]
    return [v.strip() for one in many if one for v in str(one).split(",") if v.strip()]


def facets() -> list[Facet]:
    """Questions beside the list, with counts."""
    own = [
        Facet("material", "material", "Of what?"),
        Facet("animal", "taxon__name", "Which animal?"),
        Facet("year", "year", "Of which year?"),
        Facet("kind", "kind", "What is it?", dict(Cast.KINDS)),
    ]
    return own + [c.facet for c in columns() if c.facet]


class PieceFilter(django_filters.FilterSet):
    """Pieces by cast, by kind, by whether they are still present."""

    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))
    present = django_filters.BooleanFilter()
    changed_since = django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")

    class Meta:
        model = Piece
        fields: list[str] = []


class FaceFilter(django_filters.FilterSet):
    """Faces of a cast, of a piece (by its suffix)."""

    cast = django_filters.CharFilter(field_name="piece__cast__number", lookup_expr="iexact")
    suffix = django_filters.CharFilter(field_name="piece__suffix")
    natural_end = django_filters.BooleanFilter()

    class Meta:
        model = BreakFace
        fields: list[str] = []


class JoinFilter(django_filters.FilterSet):
    """Joins of a cast, by state."""

    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")
    state = django_filters.CharFilter(method=any_of("state", "state"))
    changed_since = django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")

    class Meta:
        model = Join
        fields: list[str] = []


class RefusedFitFilter(django_filters.FilterSet):
    """Refused fits of a cast."""

    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")

    class Meta:
        model = RefusedFit
        fields: list[str] = []


class CrumbLotFilter(django_filters.FilterSet):
    """Crumb lots of a cast."""

    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")

    class Meta:
        model = CrumbLot
        fields: list[str] = []


class PieceListFilter(django_filters.FilterSet):
    """Pieces of one cast: how they are held, their lift, what part they are."""

    hold = django_filters.CharFilter(method=any_of("hold", "hold"))
    lift = django_filters.CharFilter(method=any_number_of("lift__n"))
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))

    class Meta:
        model = Piece
        fields: list[str] = []
