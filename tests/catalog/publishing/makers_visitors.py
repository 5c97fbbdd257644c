"""Excavations at kept-back places, and casts that are ready for visitors."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from catalog.casts.models import Cast
from catalog.excavations.actions import place_excavation, raise_category
from catalog.excavations.models import Excavation, Site
from catalog.excavations.placing import PlaceSaid
from catalog.publishing.actions import publish_cast
from catalog.publishing.models import PublicPage
from tests import builders


def placed(dig: Excavation, lat: str, lon: str, *, words: str = "") -> None:
    """Gives an excavation its exact place, or another one."""
    place_excavation(builders.imke(), dig.pk, PlaceSaid(f"{lat}, {lon}", within_m=Decimal(10), words=words))


def category(site: Site, new: str) -> list[str]:
    """Keeps a site back more strictly, or less; what followed, in sentences."""
    return raise_category(builders.imke(), site.pk, new, "somebody dug there by night")[1]


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
