"""One set of filters for each list: page, API and spreadsheet."""

from __future__ import annotations

from typing import Any

import django_filters
from django.db.models import Q, QuerySet

from catalog.ground.lists import any_of
from registry.mounts.models import Mount, Mounted, MountInspection, Support


class MountFilter(django_filters.FilterSet):
    """Words, kind, how it carries, whether it is closed, overhead, or due by a day."""

    q = django_filters.CharFilter(method="words")
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))
    holding = django_filters.CharFilter(method=any_of("holding", "holding"))
    closed = django_filters.BooleanFilter(field_name="closed_on", lookup_expr="isnull", exclude=True)
    overhead = django_filters.BooleanFilter()
    due_by = django_filters.DateFilter(field_name="inspect_by", lookup_expr="lte")
    changed_since = django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")

    class Meta:
        model = Mount
        fields: list[str] = []

    def words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return rows.filter(Q(number__icontains=value) | Q(name__icontains=value) | Q(maker__icontains=value))


class SupportFilter(django_filters.FilterSet):
    """By mount, by state, and whether it still stands."""

    mount = django_filters.CharFilter(field_name="mount__number", lookup_expr="iexact")
    state = django_filters.CharFilter(method=any_of("state", "state"))
    stands = django_filters.BooleanFilter(field_name="gone_on", lookup_expr="isnull")

    class Meta:
        model = Support
        fields: list[str] = []


class MountedFilter(django_filters.FilterSet):
    """By mount, by cast, and whether it is still on."""

    mount = django_filters.CharFilter(field_name="mount__number", lookup_expr="iexact")
    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")
    still_on = django_filters.BooleanFilter(field_name="off_on", lookup_expr="isnull")

    class Meta:
        model = Mounted
        fields: list[str] = []


class InspectionFilter(django_filters.FilterSet):
    """By mount, by days, by what was found."""

    mount = django_filters.CharFilter(field_name="mount__number", lookup_expr="iexact")
    since = django_filters.DateFilter(field_name="on", lookup_expr="gte")
    until = django_filters.DateFilter(field_name="on", lookup_expr="lte")
    found = django_filters.CharFilter(method="with_state")

    class Meta:
        model = MountInspection
        fields: list[str] = []

    def with_state(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return rows.filter(found__state=value).distinct()
