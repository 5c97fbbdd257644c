"""Sites, and where a dig lies: exactly for who may know it, as it is shown for all others. Reads of an exact place are logged."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from decimal import Decimal

from django.db.models import Count, QuerySet

from catalog.excavations.models import ExactPlace, Excavation, Site
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor, may
from catalog.ground.sight import visible_to

log = logging.getLogger("undercast")


def sites(reader: Actor) -> QuerySet[Site]:
    """Sites, each with `n_digs`."""
    return visible_to(reader, Site.objects.annotate(n_digs=Count("excavations")))


def site_at(reader: Actor, pk: int) -> Site:
    found = sites(reader).filter(pk=pk).first()
    if found is None:
        raise NotFound("This is not one of ours, or not for your eyes.")
    return found


def exact_place(reader: Actor, dig: Excavation, door: str) -> ExactPlace | None:
    """Where it lies, letter for letter and as a point; None without the right or where nobody has said it."""
    return exact_places(reader, [dig], door).get(dig.pk)


def exact_places(reader: Actor, digs: Iterable[Excavation], door: str) -> dict[int, ExactPlace]:
    """The exact places of these digs by their keys, in one query. `door` names the page or resource, for the log."""
    if not may(reader, "site.exact"):
        return {}
    asked = {dig.pk: dig for dig in digs}
    found = {p.excavation_id: p for p in visible_to(reader, ExactPlace.objects.filter(excavation__in=list(asked)))}
    if found:
        log_exact(reader, [asked[pk] for pk in found], door)
    return found


def log_exact(reader: Actor, digs: list[Excavation], door: str) -> None:
    """Who read which exact places, by which door; the places themselves never enter the log."""
    read = ", ".join(f"{dig.number} (site {dig.site_id or '-'})" for dig in digs)
    log.info("exact place read by account %s of %s at %s", reader.account_id, read, door)


def is_placed(dig: Excavation) -> bool:
    """Somebody has said where it lies. That there is a place is no secret."""
    return bool(dig.shown_how) or dig.shown_lat is not None


def places_of_site(
    reader: Actor, site: Site | None, *, but: int | None, door: str
) -> list[tuple[Decimal, Decimal, int]]:
    """Latitude, longitude and radius of the site's other digs, as this reader reads them."""
    if site is None:
        return []
    digs = list(Excavation.objects.filter(site=site).exclude(pk=but or 0).select_related("site"))
    return places_as_read(reader, digs, door)


def places_as_read(reader: Actor, digs: list[Excavation], door: str) -> list[tuple[Decimal, Decimal, int]]:
    """Points of these digs: exact ones for who may know them, else those of their cells; what has none is left out."""
    exact = exact_places(reader, digs, door)
    if may(reader, "site.exact"):
        return [(p.lat, p.lon, p.within_m) for p in exact.values()]
    return [
        (d.shown_lat, d.shown_lon, d.shown_within_m or 0)
        for d in digs
        if d.shown_lat is not None and d.shown_lon is not None
    ]
