"""Excavations at kept-back places, and casts that are ready for visitors."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from catalog.casts.models import Cast
from catalog.excavations.asks import excavation_placed
from catalog.excavations.models import ExactPlace, Excavation, Site
from catalog.ground.acting import action, store
from catalog.ground.roles import Actor
from catalog.publishing.actions import publish_cast
from catalog.publishing.models import PublicPage
from tests import builders


def placed(dig: Excavation, lat: str, lon: str, **more: Any) -> ExactPlace:
    """Gives an excavation its exact place, as its own room does: stored, then the rooms above are asked."""
    facts = {"said": f"{lat} {lon}", "form": "decimal degrees", "within_m": 10} | more

    @action("excavation.write")
    def place(actor: Actor) -> ExactPlace:
        exact = ExactPlace.objects.filter(excavation=dig).first() or ExactPlace(excavation=dig)
        for name, value in (facts | {"lat": Decimal(lat), "lon": Decimal(lon)}).items():
            setattr(exact, name, value)
        store(exact)
        excavation_placed(dig)
        return exact

    return place(builders.imke())


def category(site: Site, new: str) -> list[str]:
    """Raises the category of a site, as its own room does: stored, then the rooms above are asked."""
    from catalog.excavations.asks import place_raised

    @action("site.category")
    def raise_it(actor: Actor) -> list[str]:
        site.category = new
        store(site)
        return place_raised(site)

    return raise_it(builders.imke())


def dug(
    number: str = "2016.1", *, lat: str = "54.3550", lon: str = "5.2067", dig: str = "D-2016-1", **more: Any
) -> Cast:
    """A cast from North Creek (kept back to 0.1 degree), at an exact place."""
    excavation = builders.excavation(dig, field_number=more.pop("field_number", ""), site=more.pop("site", None))
    placed(excavation, lat, lon, words=more.pop("words", ""))
    facts = {"excavation": excavation, "taxon": builders.taxon(), "made_on": "2016-05-17", "mass_g": Decimal("2841.5")}
    return builders.cast(number, **(facts | more))


def published(cast: Cast, **more: Any) -> PublicPage:
    facts: dict[str, Any] = {"title": "A mud shrimp’s burrow", "story": "It pumps water through it with its tail."}
    return publish_cast(builders.imke(), cast, **(facts | more))
