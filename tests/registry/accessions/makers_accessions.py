"""Small makers of this room: what came in, what was decided, what has its number."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import Cast
from registry.accessions import actions
from registry.accessions.models import Accession, Entry
from registry.accessions.said import AccessionSaid, CaseSaid, DecisionSaid, EntrySaid
from registry.places.actions import add_place
from registry.places.models import Place
from tests import builders


def entry(what: str = "Plaster cast of a branching burrow", how: str = "own excavation", **more: Any) -> Entry:
    """Brought in by Saar, with its number and its objects."""
    return actions.enter(builders.saar(), EntrySaid(what, how, **({"parts": 3} | more)))


def brought_in(how: str = "own excavation", **more: Any) -> Cast:
    """The first object of such an entry."""
    return entry(how=how, **more).objects_of.get(index=1).cast


def kept(how: str = "offered", way: str = "gift", from_words: str = "Marit Olde, the white house", **more: Any) -> Cast:
    """Offered, proposed by Saar, accepted by Tobias."""
    cast = brought_in(how, from_words=from_words, **more)
    actions.propose(builders.saar(), cast, CaseSaid(way, case="No other cast of it here", from_words=from_words))
    actions.decide(builders.tobias(), cast, DecisionSaid("accepted", minute="Minute 4"))
    return again(cast)


def numbered(title: str = "unknown", **more: Any) -> Accession:
    """An own dig with its number."""
    return actions.accession(builders.imke(), brought_in(**more), AccessionSaid(title=title))


def again(cast: Cast) -> Cast:
    """The cast as it is now."""
    return Cast.objects.get(pk=cast.pk)


def place(code: str, name: str = "", kind: str = "shelf") -> Place:
    return add_place(builders.imke(), code, name or code, kind)
