"""Where the parts of a broken piece stand: where it stood."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils import timezone

from catalog.casts.models import Piece
from catalog.ground.acting import action, store, store_many
from catalog.ground.roles import Actor
from registry.places.models import Movement, Place, Placement


@action("move.do")
def parts_stand_there(actor: Actor, broken: Piece, parts: Sequence[Piece]) -> Place | None:
    """Each part stands where the piece stood, since the piece stood there; its own history is whole. None: it was where its cast is."""
    rows = Placement.objects.select_for_update(of=("self",), no_key=True).select_related("place__parent", "home")
    stood = rows.filter(piece=broken).first()
    if stood is None or stood.place is None:
        return None
    since = stood.since or timezone.now()
    moves = [
        Movement(cast_id=broken.cast_id, piece=p, to_place=stood.place, at=since, because=f"broke from {broken}"[:300])
        for p in parts
    ]
    for part, moved in zip(parts, store_many(moves), strict=True):
        placed = Placement(cast_id=broken.cast_id, piece=part, place=stood.place, home=stood.home, since=since)
        placed.back_on, placed.movement = stood.back_on, moved
        store(placed)
    return stood.place
