"""What went out."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from catalog.ground.http import Asked, page
from catalog.ground.keeping import papers_about
from registry.accessions.reads.entries import object_of
from registry.accessions.reads.told import exit_at


@page("record.read")
def exit_page(request: Asked, number: str) -> HttpResponse:
    """What left our hands, to whom, why, on whose word; its note."""
    found = exit_at(request.actor, number)
    thing = object_of(found.cast)
    facts = {
        "exit": found,
        "entry": thing.entry if thing else None,
        "kept": papers_about(request.actor, found.number),
    }
    return render(request, "accessions/exit_page.html", facts)
