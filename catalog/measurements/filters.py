"""One set of filters for each list."""

from __future__ import annotations

from typing import Any

import django_filters
from django.db.models import Q, QuerySet

from catalog.casts.reads import subject_of
from catalog.ground.lists import any_of
from catalog.ground.refusal import NotFound
from catalog.measurements.models import BalanceReading, Instrument, Measurement


class WeighingFilter(django_filters.FilterSet):
    """Of which cast or piece (a cast: with all its pieces), with which instrument, in which state, since when."""

    of = django_filters.CharFilter(method="of_thing")
    instrument = django_filters.CharFilter(method=any_of("instrument", "instrument__code"))
    state = django_filters.CharFilter(method=any_of("state", "state"))
    since = django_filters.IsoDateTimeFilter(field_name="at", lookup_expr="gte")
    standing = django_filters.BooleanFilter(field_name="replaced_by", lookup_expr="isnull")

    class Meta:
        model = Measurement
        fields: list[str] = []

    def of_thing(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        try:
            found = subject_of(self.request.actor, value)  # type: ignore[union-attr]
        except NotFound:
            return rows.none()
        return rows.filter(Q(piece=found.piece) if found.piece else Q(cast=found.cast))


class InstrumentFilter(django_filters.FilterSet):
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))

    class Meta:
        model = Instrument
        fields: list[str] = []


class ReadingFilter(django_filters.FilterSet):
    """`after`: the `cursor` of the last one seen."""

    instrument = django_filters.CharFilter(method=any_of("instrument", "instrument__code"))
    after = django_filters.NumberFilter(field_name="pk", lookup_expr="gt")

    class Meta:
        model = BalanceReading
        fields: list[str] = []
