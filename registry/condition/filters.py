"""Filters of restrictions."""

from __future__ import annotations

from typing import Any

import django_filters
from django.db.models import QuerySet

from catalog.ground.collection import today
from catalog.ground.lists import any_of
from registry.condition.models import Restriction
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
