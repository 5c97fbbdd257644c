"""Moving a thing by its number or a scan, the list of movements, one of them, its undo and its correction."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode
from uuid import uuid4

from django.contrib import messages
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils.html import format_html

from catalog.casts.subject import Subject
from catalog.ground.fields import Chosen
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.lists import Column, Facet, export, list_of
from catalog.ground.refusal import Refusal
from catalog.ground.roles import Actor
from registry.places import actions, reads
from registry.places.filters import MovementFilter
from registry.places.forms import CorrectForm, MoveForm
from registry.places.models import Movement, Place


@page("move.do")
def new_movement(request: Asked) -> HttpResponse:
    """Move what to where: read what is to be minded, then one press. With a place alone: one scan after the other into it."""
    asked = _asked_for(request)
    form = MoveForm(request.POST or None, actor=request.actor, initial=_begin(request.actor, asked))
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            moved = actions.move(request.actor, **form.said())
            return _moved(request, moved)
    facts = {"form": form, "scanning": asked["scanning"], "key": uuid4().hex} | _about(request, form, asked)
    return render(request, "places/new_movement.html", facts, status=status_of(form))


def _asked_for(request: Asked) -> dict[str, Any]:
    """What the address names; what is no number or place of ours stays as it was written."""
    of, to = request.GET.get("of", "")[:200], request.GET.get("to", "")[:200]
    return {
        "what": _meant(request.actor, of),
        "to": reads.place_coded(request.actor, to) if to else None,
        "of_words": of,
        "to_words": to,
        "scanning": bool(to and not of) or request.POST.get("scanning") == "yes",
    }


def _meant(reader: Actor, text: str) -> Subject | Place | None:
    try:
        return reads.thing_meant(reader, text) if text.strip() else None
    except Refusal:
        return None


def _begin(reader: Actor, asked: dict[str, Any]) -> dict[str, Any]:
    what, to, mover = asked["what"], asked["to"], reads.me(reader)
    return {
        "what": Chosen(str(what), str(what)) if what else Chosen(asked["of_words"]),
        "to": Chosen(to.name, to.code) if to else Chosen(asked["to_words"]),
        "by": Chosen(mover.name, str(mover.pk)) if mover else None,
    }


def _about(request: Asked, form: MoveForm, asked: dict[str, Any]) -> dict[str, Any]:
    """What to mind, of what was typed or, before anything was, of what the address names."""
    typed = form.cleaned_data if form.is_bound else asked
    what, to = typed.get("what"), typed.get("to")
    about = reads.about_moving(request.actor, what, to if isinstance(to, Place) else None) if what else None
    done = request.GET.get("done", "")
    last = reads.movements(request.actor).filter(pk=int(done)).first() if done.isascii() and done.isdigit() else None
    undo = last if last and reads.undoable(request.actor, reads.subject_of_move(last)) == last else None
    return {"about": about, "undo": undo, "undo_said": reads.said_of_move(request.actor, undo) if undo else ""}


def _moved(request: Asked, moved: Movement) -> HttpResponse:
    """On to the thing itself, or back for the next one into the same place."""
    said = reads.said_of_move(request.actor, moved)
    then = request.POST.get("then") or ("next" if request.POST.get("scanning") == "yes" else "")
    if then == "next" and moved.to_place:
        return HttpResponseRedirect(f"/movements/new/?{urlencode({'to': moved.to_place.code, 'done': moved.pk})}")
    if not moved.container_id:  # the page of a place has its own undo bar
        messages.success(request, format_html(_UNDO, said))
    return HttpResponseRedirect(moved.thing.href)


# presses the form that stands under "Where it is"
_UNDO = '{} <button class="act bare" type="submit" form="undo-move">Undo</button>'
SORTS = {"when": "at", "what": "cast__sort", "to": "to_place__code"}
COLUMNS = [
    Column("what", lambda m: m.number),
    Column("from", lambda m: m.from_place.code if m.from_place else ""),
    Column("to", lambda m: m.to_place.code if m.to_place else ""),
    Column("at", lambda m: m.at.isoformat()),
    Column("by", lambda m: m.by.name if m.by else ""),
    Column("because", lambda m: m.because),
    Column("back_on", lambda m: m.back_on.isoformat() if m.back_on else ""),
    Column("written_at", lambda m: m.written_at.isoformat()),
    Column("corrects", lambda m: str(m.replaces.uid) if m.replaces else ""),
    Column("put_right", lambda m: m.put_right),
    Column("uid", lambda m: str(m.uid)),
]


@page("record.read")
def movements(request: Asked) -> HttpResponse:
    """Everything that went from one place to another, newest first."""
    facets = [Facet("to", "to_place__code", "Where to?", reads.LazyNames()), Facet("who", "by__name", "Who moved it?")]
    rows = reads.movements(request.actor)
    listing = list_of(request, rows, MovementFilter, sorts=SORTS, sort="-when", facets=facets)
    if kind := request.GET.get("format"):
        return export(listing.rows, COLUMNS, kind, "movements")  # type: ignore[return-value]
    place = reads.place_coded(request.actor, request.GET.get("place", ""))
    kept = {n: request.GET.get(n, "") for n in ("place", "since", "until", "sort")}
    return render(request, "places/movements.html", {"listing": listing, "place": place, "kept": kept})


@page("record.read")
def movement(request: Asked, pk: int) -> HttpResponse:
    """One movement: what it said, whether it still stands, its slip."""
    moved = reads.movement_at(request.actor, pk)
    undo = reads.undoable(request.actor, reads.subject_of_move(moved))
    facts = {
        "moved": moved,
        "where": reads.where_words_long(moved.to_place) if moved.to_place else "out of the house",
        "came": reads.words_of(moved.from_place) if moved.from_place else "",
        "went": reads.words_of(moved.to_place) if moved.to_place else "",
        "right": reads.movements(request.actor).filter(replaces=moved).first() if moved.put_right else None,
        "along": list(reads.went_along(moved)) if not moved.put_right else [],
        "undo": undo == moved,
        "who": reads.who_moved(moved),
        "key": uuid4().hex,
    }
    return render(request, "places/movement.html", facts)


@page("move.do")
def undo(request: Asked, pk: int) -> HttpResponse:
    """Takes the latest movement of a thing back."""
    moved = reads.movement_at(request.actor, pk)
    if request.method != "POST":
        return HttpResponseRedirect(moved.href)
    back = actions.undo_movement(request.actor, pk)
    messages.success(request, f"Taken back. {reads.said_of_move(request.actor, back)}")
    if request.POST.get("back") == "next" and moved.to_place:
        return HttpResponseRedirect(f"/movements/new/?{urlencode({'to': moved.to_place.code})}")
    return HttpResponseRedirect(moved.thing.href)


@page("move.do")
def correct(request: Asked, pk: int) -> HttpResponse:
    """A wrong movement is followed by the right one; the wrong one stays readable."""
    wrong = reads.movement_at(request.actor, pk)
    form = CorrectForm(request.POST or None, actor=request.actor)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            to, because = form.cleaned_data["to"], form.cleaned_data["because"]
            right = actions.correct_movement(request.actor, pk, to, because=because)
            messages.success(request, f"Put right. {reads.said_of_move(request.actor, right)}")
            return HttpResponseRedirect(right.href)
    facts = {"form": form, "wrong": wrong, "act": "Write the right place"}
    facts |= {"where": reads.where_words_long(wrong.to_place) if wrong.to_place else "out of the house"}
    return render(request, "places/correct.html", facts, status=status_of(form))
