"""Visitors see the pictures of published casts; papers and all other photographs are for the staff."""

from __future__ import annotations

from typing import Any

from django.db.models import Q, QuerySet

from catalog.ground.roles import Actor, may
from catalog.ground.sight import rows_of
from catalog.media.asks import shown_to_visitors
from catalog.media.models import Photograph


@rows_of(Photograph)
def photographs_for(reader: Actor, rows: QuerySet[Any]) -> QuerySet[Any]:
    """All for the staff; for everybody else what the rooms above show to visitors."""
    if may(reader, "record.read"):
        return rows
    shown = Q()
    for keys in shown_to_visitors():
        shown |= Q(pk__in=keys)
    return rows.filter(shown) if shown else rows.none()
