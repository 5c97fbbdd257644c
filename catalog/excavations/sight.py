"""Who may know the exact place of a dig. All else of this room is for the staff, which needs no rule."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet

from catalog.excavations.models import ExactPlace
from catalog.ground.roles import Actor, may
from catalog.ground.sight import rows_of


@rows_of(ExactPlace)
def exact_places(reader: Actor, rows: QuerySet[Any]) -> QuerySet[Any]:
    return rows if may(reader, "site.exact") else rows.none()
