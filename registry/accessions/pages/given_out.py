"""Papers that are given out: each is kept, and asked for again it is the same one."""

from __future__ import annotations

from django.http import HttpResponse

from catalog.casts.reads import cast_at
from catalog.ground.http import Asked, page
from catalog.ground.keeping import paper_at, paper_for
from catalog.ground.pdf import as_kept
from registry.accessions import papers, reads
from registry.accessions.actions.giving_out import print_lines
from registry.accessions.reads.told import exit_at


@page("record.read")
def kept(request: Asked, number: str) -> HttpResponse:
    """A paper by its own number, as it was, also where a newer one stands for it."""
    return as_kept(paper_at(request.actor, number))


@page("record.read")
def receipt(request: Asked, number: str) -> HttpResponse:
    """The receipt of an entry."""
    entry = reads.entry_at(request.actor, number)
    return as_kept(paper_for(request.actor, papers.entry_receipt(request.actor, entry)))


@page("record.read")
def exit_note(request: Asked, number: str) -> HttpResponse:
    """The note of what went out."""
    exit_ = exit_at(request.actor, number)
    return as_kept(paper_for(request.actor, papers.exit_note(request.actor, exit_)))


@page("acquisition.propose")
def acquisition_proposal(request: Asked, number: str) -> HttpResponse:
    """The case for keeping a cast, with its decision or room for it."""
    cast = cast_at(request.actor, number)
    return as_kept(paper_for(request.actor, papers.acquisition_proposal(request.actor, cast)))


@page("acquisition.propose")
def transfer_of_title(request: Asked, number: str) -> HttpResponse:
    """The paper by which title passes."""
    cast = cast_at(request.actor, number)
    return as_kept(paper_for(request.actor, papers.transfer_of_title(request.actor, cast)))


@page("acquisition.propose")
def letter(request: Asked, number: str) -> HttpResponse:
    """The answer to an offer: refusal with reasons, or thanks."""
    cast = cast_at(request.actor, number)
    return as_kept(paper_for(request.actor, papers.letter(request.actor, cast)))


@page("register.read")
def extract(request: Asked) -> HttpResponse:
    """Lines of the register from `from` to `to`, with a checkpoint."""
    return _lines(request, papers.register_extract)


@page("register.read")
def register_page(request: Asked) -> HttpResponse:
    """The same to be signed and laid away."""
    return _lines(request, papers.register_page)


def _lines(request: Asked, draft: papers.OfLines) -> HttpResponse:
    head = reads.head_now()
    asked = request.GET
    span = papers.span_of(asked.get("from", ""), asked.get("to", ""), head.size if head else 0)
    return as_kept(print_lines(request.actor, lambda point: draft(request.actor, span, point)))


@page("record.read")
def old_numbers(request: Asked) -> HttpResponse:
    """Old numbers and new, in both orders."""
    return as_kept(paper_for(request.actor, papers.old_numbers(request.actor)))
