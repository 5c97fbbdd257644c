"""What nearly every event is about: a cast, or one piece of it; and the questions asked about it of all rooms above."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import QuerySet

from catalog.casts.models import Cast, Piece
from catalog.ground.asks import Ask, Panel
from catalog.ground.lists import Facet
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor


@dataclass(frozen=True)
class Subject:
    """A cast as a whole (`piece` None), or one piece of it."""

    cast: Cast
    piece: Piece | None = None

    def __str__(self) -> str:
        return self.piece.number if self.piece else self.cast.number

    @property
    def href(self) -> str:
        return self.piece.href if self.piece else self.cast.href


@dataclass(frozen=True)
class ListColumn:
    """What a room adds to the list of casts: an annotation, and with it a filter, counts, a sort key, a head and a value.

    `annotate` must not multiply rows; the whole list stays one query whatever the rooms. `narrows`: one filter more,
    its name and what it does with the values said.
    """

    name: str
    head: str
    annotate: Callable[[QuerySet[Cast], Actor], QuerySet[Cast]]
    column: str
    facet: Facet | None = None
    value: Callable[[Any], Any] | None = None
    narrows: tuple[str, Callable[[QuerySet[Any], list[str]], QuerySet[Any]]] | None = None


# deeds, not acts: lend, move, break, treat, touch, mount, dispose, publish, accession
what_hinders: Ask[[Subject, str], Reason] = Ask("what stands in the way of doing this with it?")
# the same of many things at once (a crate and all in it), for deeds that are done so: move; a few queries a room
what_hinders_any: Ask[[list[Subject], str], Reason] = Ask("what stands in the way of doing this with any of these?")
panels: Ask[[Actor, Cast], Panel] = Ask("what does this room show on the page of a cast?")
piece_panels: Ask[[Actor, Piece], Panel] = Ask("what does this room show on the page of a piece?")
columns: Ask[[], ListColumn] = Ask("what does this room add to the list of casts?")
# (key of the cast, name of the fact, its value); one query a room; `at` None is now
facts: Ask[[Actor, list[Cast], datetime | None], tuple[int, str, Any]] = Ask(
    "what do you know of these casts at that instant?"
)
rests_on: Ask[[Subject], str] = Ask("what rests on it?")
# parent None: the cast itself was the body
piece_broke: Ask[[Piece | None, list[Piece]], str] = Ask("a body broke into these; what follows for you?")
# the first goes by the second's number from now on: it is of another cast
piece_became: Ask[[Piece, Piece], str] = Ask("a piece goes by another number; what follows for you?")
# a breakage can be taken back only while nobody built on its pieces
built_on: Ask[[list[Piece]], str] = Ask("what was done with these pieces since they came to be?")
cast_left: Ask[[Cast, str], str] = Ask("a cast went out of our care; what follows for you?")
# asked when a cast was described with another excavation than before
excavation_changed: Ask[[Cast], str] = Ask("a cast turns out to come from elsewhere; what follows for you?")
# what a visitor's reading of casts holds beside the names: (casts) -> (key of the cast, name, value); one query a room
public_facts: Ask[[list[Cast]], tuple[int, str, Any]] = Ask("what may visitors know of these casts?")
# the page of a published cast for who is signed out: (request, cast) -> at most one response
visitor_page: Ask[[Any, Cast], Any] = Ask("how does a visitor read this cast?")


@dataclass(frozen=True)
class Standing:
    """Where a cast stands, in one sentence; the one with the lowest rank is shown. `state` as in the parts kit."""

    say: str
    state: str = ""
    acts: tuple[dict[str, Any], ...] = ()
    lacks: tuple[dict[str, Any], ...] = ()
    rank: int = 50


standing_of: Ask[[Actor, Cast], Standing] = Ask("where does this cast stand?")
