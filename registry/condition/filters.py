"""Filters of restrictions."""

from __future__ import annotations

from typing import Any

import django_filters
from django.db.models import QuerySet

from catalog.ground.collection import today
from catalog.ground.lists import any_of
from registry.condition.models import Examination, Restriction
from registry.condition.reads import restrictions as reads


class RestrictionFilter(django_filters.FilterSet):
    """By cast, by deed, and whether it bars today."""

    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")
    deed = django_filters.CharFilter(method=any_of("deed", "deed"))
    in_force = django_filters.BooleanFilter(method="bars_today")

    class Meta:
        model = Restriction
        fields: list[str] = []

    def bars_today(self, rows: QuerySet[Any], name: str, value: bool) -> QuerySet[Any]:
        barring = reads.standing_on(Restriction.objects.all(), today()).values("pk")
        return rows.filter(pk__in=barring) if value else rows.exclude(pk__in=barring)


class ExaminationFilter(django_filters.FilterSet):
    """By cast, reason, grade, day, and whether it is signed or its next one is over."""

    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")
    reason = django_filters.CharFilter(method=any_of("reason", "reason"))
    grade = django_filters.CharFilter(method=any_of("grade", "grade"))
    since = django_filters.DateFilter(field_name="on", lookup_expr="gte")
    until = django_filters.DateFilter(field_name="on", lookup_expr="lte")
    signed = django_filters.BooleanFilter(field_name="signed_at", lookup_expr="isnull", exclude=True)
    due_by = django_filters.DateFilter(field_name="next_due", lookup_expr="lte")
    changed_since = django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")

    class Meta:
        model = Examination
        fields: list[str] = []
