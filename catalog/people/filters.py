"""By what the list of people is narrowed."""

from __future__ import annotations

from typing import Any

import django_filters
from django.db.models import Q, QuerySet

from catalog.ground.lists import any_of
from catalog.people.models import Person


class People(django_filters.FilterSet):
    """`q` words in name, town or what they do; `kind` person or body; `role` a standing role."""

    q = django_filters.CharFilter(method="by_words")
    kind = django_filters.CharFilter(method=any_of("kind", "kind"))
    role = django_filters.CharFilter(method="by_role")

    class Meta:
        model = Person
        fields: list[str] = []

    def by_words(self, rows: QuerySet[Person], name: str, value: str) -> QuerySet[Person]:
        return rows.filter(Q(name__icontains=value) | Q(town__icontains=value) | Q(does__icontains=value))

    def by_role(self, rows: QuerySet[Person], name: str, value: Any) -> QuerySet[Person]:
        roles = [v.strip() for v in str(value).split(",") if v.strip()]
        held = {"account__roles_held__role__in": roles, "account__roles_held__until__isnull": True}
        return rows.filter(account__is_active=True, **held).distinct()
