"""By what the list of names is narrowed: page, API and spreadsheet."""

from __future__ import annotations

import django_filters
from django.db.models import Q, QuerySet

from catalog.ground.lists import Facet, any_of
from catalog.taxa.models import Taxon

SORTS = {"name": "name", "common_name": "common_name", "family": "family", "order": "order", "id": "id"}
FACETS = [
    Facet("order", "order", "Of which order?"),
    Facet("family", "family", "Of which family?"),
    Facet("rank", "rank", "What kind of name?"),
]


class TaxonFilter(django_filters.FilterSet):
    """`q` words in any name; order, family, rank."""

    q = django_filters.CharFilter(method="words")
    order = django_filters.CharFilter(method=any_of("order", "order"))
    family = django_filters.CharFilter(method=any_of("family", "family"))
    rank = django_filters.CharFilter(method=any_of("rank", "rank"))
    changed_since = django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")

    class Meta:
        model = Taxon
        fields: list[str] = []

    def words(self, rows: QuerySet[Taxon], name: str, value: str) -> QuerySet[Taxon]:
        for word in value.split()[:8]:
            rows = rows.filter(
                Q(name__icontains=word)
                | Q(common_name__icontains=word)
                | Q(author__icontains=word)
                | Q(family__icontains=word)
                | Q(order__icontains=word)
            )
        return rows
