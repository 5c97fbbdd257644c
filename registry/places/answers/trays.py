"""Trays on the pages of casts and places, and on Today: which go on, which are due on the balance."""

from __future__ import annotations

from catalog.casts.models import Cast
from catalog.casts.subject import panels
from catalog.ground import say
from catalog.ground.asks import Duty, Panel, todays_work
from catalog.ground.collection import local
from catalog.ground.roles import Actor, may
from registry.places.asks import place_panels
from registry.places.models import Place
from registry.places.reads import trays as reads

_MOST = 20


@panels.answer
def trays_of_cast(reader: Actor, cast: Cast) -> list[Panel]:
    """The trays in which its pieces are listed; the way to begin one where none is."""
    rows = list(reads.counted(reads.tray_lists(reader).filter(cast=cast))[:6])
    if not rows and not may(reader, "tray.enter"):
        return []
    return [Panel("how much", "places/panel_trays.html", {"rows": rows, "cast": cast}, 30)]


@place_panels.answer
def tray_of_place(reader: Actor, place: Place) -> list[Panel]:
    """On the page of a tray: what is listed in it."""
    if place.kind != "tray":
        return []
    rows = list(reads.counted(reads.tray_lists(reader).filter(tray=place))[:6])
    return [Panel("trays", "places/panel_tray.html", {"rows": rows, "place": place}, 10)]


@todays_work.answer
def due_on_the_balance(reader: Actor) -> list[Duty]:
    """Open trays with pieces that are due on the balance."""
    if not may(reader, "tray.enter"):
        return []
    found = []
    for it, n, since in reads.waiting_for_the_balance(reader, most=_MOST):
        pieces = say.capital(say.plural(n, "piece"))
        sentence = f"{pieces} of {it.cast.number} in {it.tray.code} {'is' if n == 1 else 'are'} due on the balance."
        day = local(since).date()
        found.append(Duty(sentence, it.href, day, "soon", number=it.tray.code, act="Weigh them"))
    return found
