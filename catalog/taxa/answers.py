"""What names of animals answer when the house asks: what happened to one."""

from __future__ import annotations

from typing import Any

from catalog.ground.asks import Event, history_of
from catalog.ground.past import as_events, changes_of
from catalog.ground.roles import Actor, may
from catalog.taxa.models import Taxon

LABELS = {
    "name": "scientific name",
    "author": "author",
    "rank": "kind of name",
    "common_name": "common name",
    "group": "form of its nest",
    "class_name": "class",
    "note": "notes",
}


@history_of.answer
def history_of_a_name(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Taxon) or not may(reader, "history.read"):
        return []
    return as_events(changes_of(record, LABELS), "Name")
