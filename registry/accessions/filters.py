"""One set of filters for entries and one for register lines: pages, API and spreadsheets."""

from __future__ import annotations

from typing import Any

import django_filters
from django.db.models import Q, QuerySet

from catalog.ground.lists import Facet, any_number_of, any_of
from catalog.ground.search import find
from registry.accessions.line_members import KINDS
from registry.accessions.models import Entry, EntryObject, LedgerLine
from registry.accessions.states import HOWS, STATES


class EntryFilter(django_filters.FilterSet):
    """Words, how it came, the state of its objects, when it came."""

    q = django_filters.CharFilter(method="words")
    how = django_filters.CharFilter(method=any_of("how", "how"))
    state = django_filters.CharFilter(method="states")
    came_since = django_filters.DateFilter(field_name="came_on", lookup_expr="gte")
    changed_since = django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")

    class Meta:
        model = Entry
        fields: list[str] = []

    def words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        found = find(value, kinds=["entry"], most=200)
        return rows.filter(pk__in=[e.object_id for e in found])

    def states(self, rows: QuerySet[Any], name: str, value: Any) -> QuerySet[Any]:
        """An entry with at least one object in one of these states."""
        many = self.data.getlist(name) if hasattr(self.data, "getlist") else [value]
        wanted = [v.strip() for one in many for v in str(one).split(",") if v.strip()]
        return rows.filter(pk__in=EntryObject.objects.filter(state__in=wanted).values("entry"))


ENTRY_FACETS = [
    Facet("state", "objects_of__state", "What became of it?", STATES),
    Facet("how", "how", "How did it come?", dict(HOWS)),
]
ENTRY_SORTS = {"came_on": "came_on", "number": "id", "waiting": "waits_since"}


class LineFilter(django_filters.FilterSet):
    """Words, kind, year and number of register lines."""

    q = django_filters.CharFilter(method="words")
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))
    year = django_filters.CharFilter(method=any_number_of("year"))
    number = django_filters.CharFilter(field_name="number", lookup_expr="iexact")

    class Meta:
        model = LedgerLine
        fields: list[str] = []

    def words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        said = value.strip()
        return rows.filter(Q(number__icontains=said) | Q(object__icontains=said))


LINE_FACETS = [Facet("kind", "kind", "Which kind of line?", KINDS), Facet("year", "year", "Of which year?")]
LINE_SORTS = {"line": "n", "number": "number"}
