"""Papers of this room: each is kept, and asked for again it is the same one."""

from __future__ import annotations

from django.http import HttpResponse

from catalog.casts.subject import Subject
from catalog.ground.http import Asked, page
from catalog.ground.keeping import paper_for
from catalog.ground.pdf import as_kept
from catalog.ground.refusal import Reason, Refusal
from registry.places import papers, reads
from registry.places.models import Place

_MOST = 500


@page("record.read")
def removal_slip(request: Asked, pk: int) -> HttpResponse:
    """The slip that stays in the empty place."""
    return as_kept(paper_for(request.actor, papers.removal_slip(request.actor, reads.movement_at(request.actor, pk))))


@page("record.read")
def movement_list(request: Asked) -> HttpResponse:
    """`?of=2016.1&of=K-12&to=H`: the list of a planned move; a place that does not move stands for what is in it."""
    asked = request.GET
    to = reads.place_said(request.actor, asked.get("to", ""), "to")
    things = [t for text in asked.getlist("of")[:_MOST] for t in _things(request, text)]
    if not things or len(things) > _MOST:
        raise Refusal(Reason(f"Name from one to {_MOST} things that are to be moved.", "of"))
    said = {n: asked.get(n, "")[:300] for n in ("on", "because", "led_by", "route")}
    return as_kept(paper_for(request.actor, papers.movement_list(request.actor, papers.Plan(things, to, **said))))


def _things(request: Asked, text: str) -> list[Subject | Place]:
    found = reads.thing_said(request.actor, text, "of")
    if isinstance(found, Subject) or found.movable:
        return [found]
    placed = reads.placements_in(request.actor, found).filter(place=found).select_related("piece__cast")[: _MOST + 1]
    return [*reads.containers_in(found), *(Subject(p.cast, p.piece) for p in placed)]
