"""Pages of pieces: the list of a cast's, one piece, and the corrections of the day."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts import actions, reads
from catalog.casts.filters import PieceListFilter
from catalog.casts.forms.pieces import CrumbsForm, GiveToCastForm, NewPieceForm, PieceForm, StrikeOffForm
from catalog.casts.models import CrumbLot, Piece
from catalog.casts.page import piece_facts
from catalog.casts.pages.casts import moved_on
from catalog.casts.reads.casts import goes_by
from catalog.casts.reads.pieces import STATES, pieces_with_state
from catalog.casts.reads.wholes import whole_of
from catalog.casts.subject import Subject
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.lists import Column, Facet, export, list_of
from catalog.ground.refusal import NotFound
from catalog.ground.sight import visible_to

_SORTS = {"number": "sort", "depth": "from_cm", "mass": "mass_g", "held": "hold"}
_COLUMNS = [
    Column("number", lambda p: p.number),
    Column("kind", lambda p: p.kind),
    Column("lift", lambda p: p.lift.n if p.lift else None),
    Column("from_cm", lambda p: p.from_cm),
    Column("to_cm", lambda p: p.to_cm),
    Column("mass_g", lambda p: p.mass_g),
    Column("mass_u_g", lambda p: p.mass_u_g),
    Column("mass_state", lambda p: p.mass_state),
    Column("largest_mm", lambda p: p.largest_mm),
    Column("held", lambda p: p.hold),
    Column("note", lambda p: p.note),
]


@page("record.read")
def pieces_page(request: Asked, number: str) -> HttpResponse:
    """Every piece a cast ever had, by number, depth, mass or what holds it."""
    cast = reads.cast_at(request.actor, number)
    facets = [
        Facet("hold", "hold", "How is it held?", STATES),
        Facet("lift", "lift__n", "Of which lift?"),
        Facet("kind", "kind", "Which part of the nest?", dict(Piece.KINDS)),
    ]
    rows = pieces_with_state(request.actor, cast)
    listing = list_of(request, rows, PieceListFilter, sorts=_SORTS, sort="number", facets=facets)
    if kind := request.GET.get("format"):
        return export(listing.rows, _COLUMNS, kind, f"pieces-{cast.number}")  # type: ignore[return-value]
    shown = [{"piece": p, "held": STATES[p.hold]} for p in listing.page]
    lots = visible_to(request.actor, CrumbLot.objects.select_related("piece__cast", "cast").filter(cast=cast))
    facts = {
        "cast": cast,
        "listing": listing,
        "rows": shown,
        "lots": list(lots.order_by("pk")),
        "whole": whole_of(request.actor, cast),
    }
    return render(request, "casts/pieces.html", facts)


@page("record.read")
def piece_page(request: Asked, number: str, suffix: str) -> HttpResponse:
    """One piece of a cast."""
    piece = reads.piece_at(request.actor, number, suffix)
    _, now = goes_by(piece.cast, piece)
    if now.pk != piece.pk:
        return moved_on(now.href)
    if piece.cast.number.lower() != number.lower():
        return moved_on(piece.href)
    return render(request, "casts/piece_page.html", piece_facts(request.actor, piece))


@page("record.read")
def piece_by_number(request: Asked, number: str) -> HttpResponse:
    """`/pieces/2016.1.3/` leads to the piece below its cast."""
    return redirect(reads.subject_of(request.actor, number).href)


def _asked(request: Asked, piece: Piece, form: Any, heading: str, act: str, lead: str = "") -> HttpResponse:
    facts = {"form": form, "piece": piece, "cast": piece.cast, "heading": heading, "act": act, "lead": lead}
    return render(request, "casts/piece_form.html", facts, status=status_of(form))


@page("piece.write")
def change(request: Asked, number: str, suffix: str) -> HttpResponse:
    """What a piece is and where it came from."""
    piece = reads.piece_at(request.actor, number, suffix)
    form = PieceForm(request.POST or None, initial=PieceForm.begin(piece))
    form.pencil = f"piece-{piece.number}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            seen = form.cleaned_data["version"]
            actions.describe_piece(request.actor, piece.pk, form.said(), expected_version=seen)
            return redirect(piece.href)
    return _asked(request, piece, form, "what it is", f"Write it down for {piece.number}")


@page("piece.write")
def strike_off(request: Asked, number: str, suffix: str) -> HttpResponse:
    """It is no piece after all."""
    piece = reads.piece_at(request.actor, number, suffix)
    form = StrikeOffForm(request.POST or None, initial={"version": piece.version})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            why, seen = form.cleaned_data["why"], form.cleaned_data["version"]
            actions.strike_off(request.actor, piece.pk, why, expected_version=seen)
            messages.success(request, f"{piece.number} is struck off. Its number is never given again.")
            return redirect(piece.href)
    lead = "It stays in the list, struck off, and leaves every sum. Its number is never given again."
    return _asked(request, piece, form, "not a piece after all", f"Strike {piece.number} off", lead)


@page("piece.write")
def put_back(request: Asked, number: str, suffix: str) -> HttpResponse:
    """It was a piece after all."""
    piece = reads.piece_at(request.actor, number, suffix)
    if request.method == "POST":
        actions.put_back(request.actor, piece.pk)
        messages.success(request, f"{piece.number} is a piece again.")
    return redirect(piece.href)


@page("piece.write")
def part_number(request: Asked, number: str, suffix: str) -> HttpResponse:
    """Its number was put on two pieces."""
    piece = reads.piece_at(request.actor, number, suffix)
    form = NewPieceForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            second = actions.part_number(request.actor, piece.pk, **form.said())
            messages.success(request, f"The second one is {second.number}. Print its label.")
            return redirect(second.href)
    lead = f"The one in the other hand gets the next number; its old label leads to {piece.number}, which names it."
    return _asked(request, piece, form, "one number on two pieces", "Give the second its own number", lead)


@page("piece.write")
def give_to_cast(request: Asked, number: str, suffix: str) -> HttpResponse:
    """It is of another cast."""
    piece = reads.piece_at(request.actor, number, suffix)
    form = GiveToCastForm(request.POST or None, initial={"version": piece.version}, actor=request.actor)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            to, seen = form.cleaned_data["to"], form.cleaned_data["version"]
            now = actions.give_to_cast(request.actor, piece.pk, to, expected_version=seen)
            messages.success(request, f"{piece.number} is {now.number} from now on. Print its label.")
            return redirect(now.href)
    lead = "It goes by the next free number there. The number on its label leads to it for ever."
    return _asked(request, piece, form, "of another cast", f"Give {piece.number} to that cast", lead)


@page("tray.enter")
def keep_crumbs(request: Asked, number: str) -> HttpResponse:
    """A lot of crumbs of a cast, or of the piece they broke from (`?piece=4`)."""
    cast = reads.cast_at(request.actor, number)
    suffix = request.GET.get("piece", "")
    piece = reads.piece_at(request.actor, number, suffix) if suffix else None
    form = CrumbsForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.keep_crumbs(request.actor, Subject(cast, piece), **form.said())
            return redirect(f"{cast.href}pieces/")
    facts = {"form": form, "cast": cast, "piece": piece, "heading": "crumbs", "act": "Keep the lot of crumbs"}
    return render(request, "casts/piece_form.html", facts, status=status_of(form))


@page("piece.write")
def crumb_to_piece(request: Asked, pk: int) -> HttpResponse:
    """One crumb of a lot gets a number of its own."""
    rows = visible_to(request.actor, CrumbLot.objects.select_related("cast", "piece__cast"))
    lot = rows.filter(pk=pk).first()
    if lot is None:
        raise NotFound("There is no such lot of crumbs.")
    form = NewPieceForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.crumb_to_piece(request.actor, lot, **form.said())
            messages.success(request, f"It is {made.number}. Print its label.")
            return redirect(made.href)
    facts = {"form": form, "cast": lot.cast, "piece": lot.piece, "heading": "a crumb becomes a piece"}
    facts["act"] = "Give it a number of its own"
    return render(request, "casts/piece_form.html", facts, status=status_of(form))
