"""Where a dig lies: the exact place in a table of its own, what others read of it beside the dig, written together."""

from __future__ import annotations

from catalog.excavations import reads
from catalog.excavations.actions.filling import fill
from catalog.excavations.asks import excavation_placed
from catalog.excavations.models import ExactPlace, Excavation, Site
from catalog.excavations.placing import Placed, PlaceSaid, doubts_of, placed, shown
from catalog.ground.acting import action, locked, store
from catalog.ground.collection import collection
from catalog.ground.refusal import Hindered, Reason, Refusal, Stale
from catalog.ground.roles import Actor, may

_FIELDS = ("said", "datum", "how_fixed", "stated_m", "elevation_m", "words")


@action("excavation.write")
def place_excavation(
    actor: Actor, pk: int, said: PlaceSaid, *, expected_version: int | None = None
) -> tuple[Excavation, list[str]]:
    """Writes where a dig lies, as it was written in the field. Returns the dig and what is doubtful, in sentences.

    `expected_version` is that of the place itself (0: there was none). Who may not read a place writes the first one only.
    """
    dig = locked(Excavation, pk=pk)
    there = ExactPlace.objects.filter(excavation=dig).first()
    _refuse_unseen(actor, there, expected_version)
    point = _read(said)
    others = reads.places_of_site(actor, dig.site, but=dig.pk, door="place_excavation")
    place = there or ExactPlace(excavation=dig)
    columns = (said.text, said.datum, said.how_fixed, said.within_m, said.elevation_m, said.words)
    fill(place, dict(zip(_FIELDS, columns, strict=True)), _FIELDS)
    place.form, place.lat, place.lon, place.within_m = point.form, point.lat, point.lon, point.within_m
    store(place)
    show_anew(dig)
    excavation_placed(dig)
    return dig, doubts_of(point, others)


def _refuse_unseen(actor: Actor, there: ExactPlace | None, expected_version: int | None) -> None:
    if there and not may(actor, "site.exact"):
        raise Hindered(
            Reason("A place is written already, and nobody writes over what they may not read. Ask the registrar.")
        )
    if expected_version is not None and expected_version != (there.version if there else 0):
        raise Stale("Somebody saved before you.")


def _read(said: PlaceSaid) -> Placed:
    try:
        return placed(said, comma=collection().decimal_comma)
    except ValueError as error:
        raise Refusal(Reason(str(error), "where", said=said.text[:200])) from None


def show_anew(dig: Excavation) -> None:
    """What others read of the place, computed from the exact one and the site's category now. The dig is held by the act."""
    place = ExactPlace.objects.filter(excavation=dig).first()
    if place is None:
        return
    what = shown(place.lat, place.lon, place.within_m, category_now(dig.site_id))
    dig.shown_lat, dig.shown_lon, dig.shown_within_m, dig.shown_how = what.lat, what.lon, what.within_m, what.how
    store(dig)


def category_now(site_pk: int | None) -> str | None:
    """How strictly a site is kept back; it stays so until the act ends. None without a site."""
    return locked(Site, pk=site_pk).category if site_pk else None
