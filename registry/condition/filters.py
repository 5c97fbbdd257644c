"""Filters of restrictions."""

import django_filters

from catalog.ground.lists import any_of
from registry.condition.models import Restriction


class RestrictionFilter(django_filters.FilterSet):
    """By cast and deed."""

    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")
    deed = django_filters.CharFilter(method=any_of("deed", "deed"))

    class Meta:
        model = Restriction
        fields: list[str] = []
