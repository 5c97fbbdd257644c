"""Visitors know of published casts only; pieces and the rest are for the staff."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet

from catalog.casts.models import Cast
from catalog.ground.roles import Actor, may
from catalog.ground.sight import rows_of


@rows_of(Cast)
def casts_for(reader: Actor, rows: QuerySet[Any]) -> QuerySet[Any]:
    """All for the staff, what is published for everybody else."""
    if may(reader, "record.read"):
        return rows
    return rows.filter(published_on__isnull=False)
