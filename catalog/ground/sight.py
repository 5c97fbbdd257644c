"""Which rows a reader may see. Each room states its rule once; no rule means staff only. A row that is not yours is absent."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from django.db import models
from django.db.models import QuerySet

from catalog.ground.roles import Actor, may

M = TypeVar("M", bound=models.Model)
Rule = Callable[[Actor, QuerySet[Any]], QuerySet[Any]]

_RULES: dict[type[models.Model], Rule] = {}


def rows_of(kind: type[models.Model]) -> Callable[[Rule], Rule]:
    """Decorates the one function that says which rows of `kind` a reader sees."""

    def state(rule: Rule) -> Rule:
        if kind in _RULES:
            raise AssertionError(f"two rules for {kind.__name__}")
        _RULES[kind] = rule
        return rule

    return state


def visible_to(reader: Actor, queryset: QuerySet[M]) -> QuerySet[M]:
    """The rows of this queryset that this reader may know of."""
    rule = _RULES.get(queryset.model)
    if rule:
        return rule(reader, queryset)
    return queryset if may(reader, "record.read") else queryset.none()
