"""Filters of restrictions, examinations, incidents and breakages."""

from __future__ import annotations

from typing import Any

import django_filters
from django.db.models import Q, QuerySet

from catalog.ground.collection import today
from catalog.ground.lists import any_number_of, any_of
from registry.condition.models import Breakage, Examination, Incident, IncidentSubject, Restriction
from registry.condition.reads import incidents
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
    """By words, cast, reason, grade, day, and whether it is signed or its next one is over."""

    q = django_filters.CharFilter(method="words_in", max_length=200)
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

    def words_in(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        """In the number of the cast, in findings, in what is to be done."""
        said = Q(cast__number__icontains=value) | Q(recommendation__icontains=value) | Q(note__icontains=value)
        said |= Q(findings__kind__icontains=value) | Q(findings__note__icontains=value)
        return rows.filter(pk__in=Examination.objects.filter(said).values("pk"))


class IncidentFilter(django_filters.FilterSet):
    """By kind, how, year, cast, and whether it is open, closed, or a search that goes on."""

    q = django_filters.CharFilter(method="with_words")
    cast = django_filters.CharFilter(field_name="subjects__cast__number", lookup_expr="iexact", distinct=True)
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))
    how = django_filters.CharFilter(method=any_of("how", "how"))
    year = django_filters.CharFilter(method=any_number_of("year"))
    state = django_filters.CharFilter(method="in_state")

    class Meta:
        model = Incident
        fields: list[str] = []

    def with_words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        """Its number, a cast's number, or words of what was written."""
        about = IncidentSubject.objects.filter(cast__number__iexact=value.strip()).values("incident")
        words = Q(note__icontains=value) | Q(searched__icontains=value) | Q(lesson__icontains=value)
        return rows.filter(Q(number__iexact=value.strip()) | Q(pk__in=about) | words)

    def in_state(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        if value == "taken back":
            return rows.filter(taken_back_on__isnull=False)
        if value == "closed":
            return rows.filter(taken_back_on__isnull=True, closed_on__isnull=False)
        if value == "missing":
            return rows.filter(pk__in=incidents.still_missing().values("pk"))
        return rows.filter(taken_back_on__isnull=True, closed_on__isnull=True)


class BreakageFilter(django_filters.FilterSet):
    """By cast, by how it happened, by incident."""

    cast = django_filters.CharFilter(field_name="cast__number", lookup_expr="iexact")
    how = django_filters.CharFilter(method=any_of("how", "incident__how"))
    incident = django_filters.CharFilter(field_name="incident__number", lookup_expr="iexact")

    class Meta:
        model = Breakage
        fields: list[str] = []
