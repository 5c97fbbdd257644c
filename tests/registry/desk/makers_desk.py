"""Small makers for the desk's tests: a described cast of an animal, a place, a published cast."""

from __future__ import annotations

from datetime import date
from typing import Any

from catalog.casts import actions
from catalog.casts.models import Cast
from catalog.ground.search import write
from registry.places.actions import add_place
from registry.places.models import Place
from tests import builders


def described(number: str = "2016.1", *, formers: tuple[str, ...] = (), **more: Any) -> Cast:
    """A cast as somebody at the bench describes it, findable by its words and its former numbers."""
    facts = {"description": "Plaster cast of a branching burrow", "material": "plaster"} | more
    made = actions.record_cast(builders.saar(), number, facts)
    for text in formers:
        actions.add_former_number(builders.saar(), made, text)
    return made


def determined(cast: Cast, name: str, common_name: str) -> Cast:
    """The same cast, its animal accepted by the keeper."""
    animal = builders.taxon(name, common_name)
    determination = actions.determine(builders.saar(), cast, taxon=animal, ground="form of the nest")
    actions.accept_determination(builders.tobias(), determination.pk)
    cast.refresh_from_db()
    return cast


def published(cast: Cast) -> Cast:
    """Published: what a visitor may know of."""
    return actions.set_published(builders.imke(), cast.pk, date(2026, 11, 1))


def place(code: str, name: str, *, kind: str = "shelf", **more: Any) -> Place:
    return add_place(builders.imke(), code, name, kind, **more)


def findable(record: Any) -> Any:
    """A record that a builder stored as a row, with its entry in the index."""
    write(type(record).__name__.lower(), record.pk, record.search_entries())
    return record
