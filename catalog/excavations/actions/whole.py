"""A dig and its place in one act: what the API sends at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from catalog.excavations.actions.digs import There, change_excavation, record_excavation
from catalog.excavations.actions.placing import place_excavation
from catalog.excavations.models import Excavation
from catalog.excavations.placing import PlaceSaid
from catalog.ground.acting import action
from catalog.ground.roles import Actor


@action("excavation.write")
def write_dig(
    actor: Actor,
    pk: int | None,
    said: Mapping[str, Any],
    *,
    people: Iterable[There] | None = None,
    place: PlaceSaid | None = None,
    expected_version: int | None = None,
) -> tuple[Excavation, list[str]]:
    """Records a dig (`pk` None) or changes one, with its place where one was sent. Returns it and what is doubtful."""
    if pk is None:
        dig = record_excavation(actor, said, people=people or ())
    else:
        dig = change_excavation(actor, pk, said, people=people, expected_version=expected_version)
    return place_excavation(actor, dig.pk, place) if place else (dig, [])
