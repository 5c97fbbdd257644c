"""A piece broke: its parts stand where it stood. And what moved them since stands in the way of taking that back."""

from __future__ import annotations

from catalog.casts.models import Piece
from catalog.casts.subject import built_on, piece_broke
from catalog.ground import say
from catalog.ground.collection import local
from catalog.ground.roles import HOUSE
from registry.places import reads
from registry.places.actions.parts import parts_stand_there
from registry.places.models import Movement


@piece_broke.answer
def its_parts_stand_where_it_stood(broken: Piece | None, parts: list[Piece]) -> list[str]:
    if broken is None or not parts:
        return []
    place = parts_stand_there(HOUSE, broken, parts)
    where = reads.where_words(place) if place else "where the cast is"
    return [f"{say.capital(say.plural(len(parts), 'part'))} {'stands' if len(parts) == 1 else 'stand'} {where}."]


@built_on.answer
def parts_moved_since(pieces: list[Piece]) -> list[str]:
    """Moved after they came to be: the first movement of a part only says where the piece stood."""
    taken_over = {"from_place": None, "because__startswith": "broke from "}
    rows = reads.standing(Movement.objects.filter(piece__in=pieces).exclude(**taken_over))
    return [f"{m.piece} was moved on {say.day(local(m.at).date())}." for m in rows.select_related("piece__cast")]
