"""On the page of a cast or a piece: where it is, where it belongs, who has it; and what follows when it leaves."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Subject, cast_left, panels, piece_panels
from catalog.ground.asks import Panel
from catalog.ground.collection import today
from catalog.ground.roles import HOUSE, Actor, may
from registry.places import reads
from registry.places.actions import leave_house
from registry.places.models import Placement

_SHOWN = 8
# out of our hands: it stands nowhere in our house; what is kept for teaching stays
_LEFT = frozenset({"given back", "same as another"})


@panels.answer
def where_it_is(reader: Actor, cast: Cast) -> list[Panel]:
    """Place, home, last movement, undo; and which pieces went their own way. The queries do not grow with the pieces."""
    if not may(reader, "place.read"):
        return []
    facts = _where(reader, Subject(cast)) | _apart(reader, cast)
    return [Panel("where", "places/panel_where.html", facts, 20)]


@piece_panels.answer
def where_the_piece_is(reader: Actor, piece: Piece) -> list[Panel]:
    if not may(reader, "place.read"):
        return []
    return [Panel("where", "places/panel_where.html", _where(reader, Subject(piece.cast, piece)), 20)]


def _where(reader: Actor, what: Subject) -> dict[str, Any]:
    placed = reads.placement_of(what)
    of_its_cast = reads.placement_of(Subject(what.cast)) if what.piece and not (placed and placed.place) else None
    here = of_its_cast or placed
    place, home = (here.place, here.home) if here else (None, None)
    newest = reads.newest_on_page(reader, what)
    last = reads.newest_on_page(reader, Subject(what.cast)) if of_its_cast else newest
    return {
        "what": what,
        "place": place,
        "path": reads.path_of(place) if place else [],
        "where": reads.where_words_long(place),
        "since": here.since if here else None,
        "with_its_cast": of_its_cast is not None,
        "home": home,
        "home_words": reads.where_words_long(home) if home else "",
        "at_home": bool(place and home and place.pk == home.pk),
        "back_on": here.back_on if here else None,
        "late": bool(here and here.back_on and here.back_on < today()),
        "last": last,
        "undo": reads.undoable_of(reader, newest),
        "key": uuid4().hex,
        "closed": bool(what.cast.closed_as) or bool(what.piece and not what.piece.present),
    }


def _apart(reader: Actor, cast: Cast) -> dict[str, Any]:
    """Pieces that stand somewhere else than their cast."""
    own = Placement.objects.select_related("piece__cast", "place__parent").filter(cast=cast, piece__present=True)
    whole = Placement.objects.filter(cast=cast, piece__isnull=True).values_list("place_id", flat=True)
    apart = own.filter(place__isnull=False).exclude(place__in=whole).order_by("piece__sort")
    shown = list(apart[: _SHOWN + 1])
    rows = [{"piece": p.piece, "place": p.place, "where": reads.where_words_long(p.place)} for p in shown[:_SHOWN]]
    return {"apart": rows, "n_more": apart.count() - _SHOWN if len(shown) > _SHOWN else 0}


@panels.answer
def who_has_it(reader: Actor, cast: Cast) -> list[Panel]:
    """The holder now, since when, and every hand before."""
    if not may(reader, "record.read"):
        return []
    lines = reads.custody_of(cast)
    if not lines:
        return []
    return [Panel("who", "places/panel_who.html", {"now": lines[0], "before": lines[1:]}, 20)]


@cast_left.answer
def it_stands_nowhere_here(cast: Cast, closed_as: str) -> list[str]:
    """It is taken off its shelf; the movement says why."""
    if closed_as not in _LEFT:
        return []
    stood = reads.place_now(Subject(cast))
    moved = leave_house(HOUSE, cast, because=closed_as)
    return [f"{cast.number} is no longer {reads.where_words(stood)}."] if moved and stood else []
