"""Stores and shelves are for the staff; a token that may read places reads them."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet

from catalog.ground.roles import Actor, may
from catalog.ground.sight import rows_of
from registry.places.models import Place


@rows_of(Place)
def places_for(reader: Actor, rows: QuerySet[Any]) -> QuerySet[Any]:
    return rows if may(reader, "place.read") else rows.none()
