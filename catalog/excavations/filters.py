"""By what the lists of this room are narrowed, sorted and counted: page, API and spreadsheet."""

from __future__ import annotations

from typing import Any

import django_filters
from django.db.models import Q, QuerySet

from catalog.excavations.models import CATEGORY_WORDS, Bag, Excavation, Lift, MaterialLot, Permit, Pour, Site
from catalog.excavations.reads.bags import STATES
from catalog.ground.lists import Facet, any_number_of, any_of

DIG_SORTS = {
    "number": "number",
    "dug": "dug_earliest",
    "site": "site__name",
    "animal": "taxon__name",
    "lifts": "n_lifts",
    "changed": "changed_at",
    "id": "id",
}
DIG_FACETS = [
    Facet("site", "site__name", "At which site?"),
    Facet("animal", "taxon__name", "Which animal?"),
    Facet("year", "year", "Of which year?"),
    Facet("extent", "extent", "How much of the nest?", dict(Excavation.EXTENTS)),
]
SITE_SORTS = {"name": "name", "digs": "n_digs", "id": "id"}
SITE_FACETS = [Facet("category", "category", "How is it kept back?", CATEGORY_WORDS)]
PERMIT_SORTS = {"number": "number", "until": "until_on", "nests": "n_nests", "id": "id"}
PERMIT_FACETS = [Facet("kind", "kind", "Which paper?"), Facet("site", "site__name", "For which site?")]
LOT_SORTS = {"code": "code", "balance": "balance_g", "opened": "opened_on", "id": "id"}
LOT_FACETS = [Facet("material", "material", "Of what?")]
BAG_SORTS = {"code": "pk", "tied": "tied_at", "id": "id"}
BAG_FACETS = [
    Facet("state", "state", "How does it stand?", STATES),
    Facet("excavation", "lift__excavation__number", "Of which excavation?"),
]


def _changed_since() -> django_filters.IsoDateTimeFilter:
    return django_filters.IsoDateTimeFilter(field_name="changed_at", lookup_expr="gte")


def _with_words(rows: QuerySet[Any], value: str, *columns: str) -> QuerySet[Any]:
    """Rows that have every word in one of the columns; at most eight words are looked at."""
    for word in value.split()[:8]:
        anywhere = Q()
        for column in columns:
            anywhere |= Q(**{f"{column}__icontains": word})
        rows = rows.filter(anywhere)
    return rows


class DigFilter(django_filters.FilterSet):
    """Words, site, animal, year, extent, permit."""

    q = django_filters.CharFilter(method="words")
    site = django_filters.CharFilter(method=any_of("site", "site__name"))
    animal = django_filters.CharFilter(method=any_of("animal", "taxon__name"))
    extent = django_filters.CharFilter(method=any_of("extent", "extent"))
    permit = django_filters.CharFilter(method=any_of("permit", "permit__number"))
    year = django_filters.CharFilter(method=any_number_of("year", figures=4))
    changed_since = _changed_since()

    class Meta:
        model = Excavation
        fields: list[str] = []

    def words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        columns = ("number", "field_number", "site__name", "animal_words", "taxon__name", "taxon__common_name", "note")
        return _with_words(rows, value, *columns)


class SiteFilter(django_filters.FilterSet):
    q = django_filters.CharFilter(method="words")
    category = django_filters.CharFilter(method=any_of("category", "category"))
    changed_since = _changed_since()

    class Meta:
        model = Site
        fields: list[str] = []

    def words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return _with_words(rows, value, "name", "region", "country")


class PermitFilter(django_filters.FilterSet):
    q = django_filters.CharFilter(method="words")
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))
    site = django_filters.CharFilter(method=any_of("site", "site__name"))
    changed_since = _changed_since()

    class Meta:
        model = Permit
        fields: list[str] = []

    def words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return _with_words(rows, value, "number", "animals", "given_by__name", "holder__name", "site__name")


class LotFilter(django_filters.FilterSet):
    q = django_filters.CharFilter(method="words")
    material = django_filters.CharFilter(method=any_of("material", "material"))
    changed_since = _changed_since()

    class Meta:
        model = MaterialLot
        fields: list[str] = []

    def words(self, rows: QuerySet[Any], name: str, value: str) -> QuerySet[Any]:
        return _with_words(rows, value, "code", "material", "what", "from_whom")


class BagFilter(django_filters.FilterSet):
    """`state`: unused, open, inventoried, written off."""

    q = django_filters.CharFilter(field_name="code", lookup_expr="icontains")
    state = django_filters.CharFilter(method=any_of("state", "state"))
    excavation = django_filters.CharFilter(method=any_of("excavation", "lift__excavation__number"))
    changed_since = _changed_since()

    class Meta:
        model = Bag
        fields: list[str] = []


class PourFilter(django_filters.FilterSet):
    excavation = django_filters.CharFilter(field_name="excavation__number", lookup_expr="iexact")
    lot = django_filters.CharFilter(field_name="lot__code", lookup_expr="iexact")
    material = django_filters.CharFilter(method=any_of("material", "material"))
    changed_since = _changed_since()

    class Meta:
        model = Pour
        fields: list[str] = []


class LiftFilter(django_filters.FilterSet):
    excavation = django_filters.CharFilter(field_name="excavation__number", lookup_expr="iexact")
    changed_since = _changed_since()

    class Meta:
        model = Lift
        fields: list[str] = []
