"""Filters that take several values: a name given several times, as the check boxes of one question send it."""

from __future__ import annotations

from typing import Any

from django import forms
from django_filters import FilterSet


class _ManyInput(forms.TextInput):
    def value_from_datadict(self, data: Any, files: Any, name: str) -> list[str]:
        return list(data.getlist(name)) if hasattr(data, "getlist") else [data[name]] if data.get(name) else []


class _Many(forms.Field):
    """A name that may be given several times -> list of its values."""

    widget = _ManyInput


def reads_many(chosen: FilterSet) -> FilterSet:
    """Lets the filters whose method bears `takes_many` read all values of their name; without it only the last counts."""
    for one in chosen.filters.values():
        method = getattr(type(chosen), one.method, None) if isinstance(one.method, str) else one.method
        if getattr(method, "takes_many", False):
            one.field_class = _Many
    return chosen
