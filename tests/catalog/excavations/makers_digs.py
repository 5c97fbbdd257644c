"""Small makers of this room: through the actions, as the people would."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from catalog.excavations import actions
from catalog.excavations.models import Bag, Excavation, Lift, MaterialLot, Permit, Site
from catalog.excavations.placing import PlaceSaid
from catalog.people.models import Person
from tests import builders

# an invented point in the open sea, in one cell of a tenth of a degree with HERE_TOO
HERE, HERE_TOO = "54.35512, 5.20678", "54.31247, 5.28891"


def person_of(name: str) -> Person:
    """The person behind one of the station's accounts."""
    return Person.objects.get(pk=builders.actor(name).person_id)


def site(name: str = "North Creek", **more: Any) -> Site:
    there = Site.objects.filter(name=name).first()
    return there or actions.name_site(builders.imke(), {"name": name, "region": "salt marsh of the Low Shore", **more})


def permit(number: str = "NS-25-2", **more: Any) -> Permit:
    facts = {
        "kind": "collecting permit",
        "number": number,
        "site": site(),
        "from_on": date(2025, 5, 1),
        "until_on": date(2025, 9, 30),
        "most_nests": 3,
    }
    return actions.add_permit(builders.imke(), facts | more)


def dig(**said: Any) -> Excavation:
    """A dig at North Creek in June 2025, unless said otherwise."""
    people = said.pop("people", ())
    facts = {"site": site(), "dug_on": "2025-06-03"}
    return actions.record_excavation(builders.saar(), facts | said, people=people)


def placed(where: str = HERE, of: Excavation | None = None, **more: Any) -> Excavation:
    """A dig with its exact place, written by the registrar."""
    found, _ = actions.place_excavation(builders.imke(), (of or dig()).pk, PlaceSaid(where, **more))
    return found


def lift(of: Excavation | None = None, bags: tuple[str, ...] = (), **said: Any) -> Lift:
    return actions.record_lift(builders.saar(), (of or dig()).pk, said, bags=bags)


def bags(n: int = 2) -> list[Bag]:
    return actions.make_bags(builders.saar(), n)


def lot(code: str = "Z-4", material: str = "zinc", taken_in_g: int | None = 18_500) -> MaterialLot:
    mass_g = Decimal(taken_in_g) if taken_in_g is not None else None
    return actions.open_lot(builders.saar(), code, {"material": material}, taken_in_g=mass_g)
