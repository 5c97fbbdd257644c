"""Pages of pieces."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts import reads
from catalog.casts.page import piece_facts
from catalog.casts.pages.casts import moved_on
from catalog.ground.http import Asked, page


@page("record.read")
def piece_page(request: Asked, number: str, suffix: str) -> HttpResponse:
    """One piece of a cast."""
    piece = reads.piece_at(request.actor, number, suffix)
    if piece.cast.number.lower() != number.lower():
        return moved_on(piece.href)
    return render(request, "casts/piece_page.html", piece_facts(request.actor, piece))


@page("record.read")
def piece_by_number(request: Asked, number: str) -> HttpResponse:
    """`/pieces/2016.1.3/` leads to the piece below its cast."""
    return redirect(reads.subject_of(request.actor, number).href)
