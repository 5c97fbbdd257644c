"""One set of filters for each list: page, API and spreadsheet."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import Any

import django_filters
from django.db.models import Q, QuerySet

from catalog.ground.collection import zone
from catalog.ground.lists import any_of
from registry.places import reads
from registry.places.models import Movement, Place, Placement, TrayRow


def _values(value: Any) -> list[str]:
    return [v.strip() for v in str(value).split(",") if v.strip()]


def _day_begins(day: Any) -> datetime:
    return datetime.combine(day, time(), tzinfo=zone())


class MovementFilter(django_filters.FilterSet):
    """Numbers or reasons (`q`), the place at any depth (from or to), where to, who, days; `what` one number exactly."""

    q = django_filters.CharFilter(method="words")
    what = django_filters.CharFilter(method="exactly")
    place = django_filters.CharFilter(method="of_place")
    to = django_filters.CharFilter(method=any_of("to", "to_place__code"))
    who = django_filters.CharFilter(method=any_of("who", "by__name"))
    since = django_filters.DateFilter(method="from_day")
    until = django_filters.DateFilter(method="to_day")

    class Meta:
        model = Movement
        fields: list[str] = []

    def words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        """The number of what was moved, whatever its form, or words of the reason."""
        reason, found = Q(because__icontains=value), self._moved(value)
        return rows.filter(found | reason if found else reason)

    def exactly(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        found = self._moved(value)
        return rows.filter(found) if found else rows.none()

    def _moved(self, value: str) -> Q | None:
        actor = self.request.actor  # type: ignore[union-attr]
        coded = reads.place_coded(actor, value)
        if coded is not None:
            return Q(container=coded)
        thing = reads.subject_meant(actor, value)
        if thing is None:
            return None
        return Q(piece=thing.piece) if thing.piece else Q(cast=thing.cast)

    def of_place(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        keys = reads.within_codes(_values(value), fixed=True)
        return rows.filter(Q(from_place__in=keys) | Q(to_place__in=keys))

    def from_day(self, rows: QuerySet[Any], name: str, value: Any) -> QuerySet[Any]:
        return rows.filter(at__gte=_day_begins(value))

    def to_day(self, rows: QuerySet[Any], name: str, value: Any) -> QuerySet[Any]:
        return rows.filter(at__lt=_day_begins(value + timedelta(days=1)))


class PlaceFilter(django_filters.FilterSet):
    """Words, kind, what it stands in (itself or at any depth), whether it moves, whether it is closed."""

    q = django_filters.CharFilter(method="words")
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))
    parent = django_filters.CharFilter(field_name="parent__code", lookup_expr="iexact")
    within = django_filters.CharFilter(method="inside")
    movable = django_filters.BooleanFilter()
    closed = django_filters.BooleanFilter(field_name="closed_on", lookup_expr="isnull", exclude=True)
    changed_since = django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")

    class Meta:
        model = Place
        fields: list[str] = []

    def words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return rows.filter(Q(code__icontains=value) | Q(name__icontains=value))

    def inside(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return rows.filter(pk__in=reads.within_codes(_values(value)))


class PlacementFilter(django_filters.FilterSet):
    """By cast, by the place itself or at any depth, by home place; `at` an instant is the API's own."""

    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")
    place = django_filters.CharFilter(method=any_of("place", "place__code"))
    home = django_filters.CharFilter(method=any_of("home", "home__code"))
    within = django_filters.CharFilter(method="inside")
    at = django_filters.IsoDateTimeFilter(method="as_of")

    class Meta:
        model = Placement
        fields: list[str] = []

    def inside(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return rows.filter(place__in=reads.within_codes(_values(value)))

    def as_of(self, rows: QuerySet[Any], name: str, value: Any) -> QuerySet[Any]:
        """The same things; where each was then is looked up for those of the page."""
        return rows


class TrayRowFilter(django_filters.FilterSet):
    """Of which tray, of which cast."""

    tray = django_filters.CharFilter(method=any_of("tray", "tray_list__tray__code"))
    cast = django_filters.CharFilter(method=any_of("cast", "tray_list__cast__number"))

    class Meta:
        model = TrayRow
        fields: list[str] = []
