"""The place tree, one place of it, a new one, one changed, one closed."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.ground.asks import history_of
from catalog.ground.fields import Chosen
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.roles import Actor, may
from registry.places import actions, reads
from registry.places.asks import place_panels
from registry.places.forms import ChangePlaceForm, MoveForm, PlaceForm
from registry.places.models import Place
from registry.places.tree import drawn

_ROWS = 40
_NEWEST = 8


@page("place.read")
def places(request: Asked) -> HttpResponse:
    """The whole tree; on a phone its upper floors."""
    nodes = drawn(reads.all_places(request.actor), reads.counts())
    begin = [{"label": "Write the first place", "href": "/places/new/"}] if may(request.actor, "place.write") else []
    return render(request, "places/places.html", {"nodes": nodes, "begin": begin})


@page("place.read")
def place(request: Asked, code: str) -> HttpResponse:
    """One place: where it stands, what is in it, who came and went, what it is fit for."""
    found = reads.place_at(request.actor, code)
    return render(request, "places/place.html", _facts(request.actor, found) | _page_of(request, found))


def _facts(reader: Actor, found: Place) -> dict[str, Any]:
    keys = reads.within(found, fixed=True)
    undo = reads.undoable(reader, found) if found.movable else None
    past = sorted(history_of(reader, found), key=lambda e: e.at, reverse=True)
    return {
        "place": found,
        "path": reads.path_of(found)[:-1],
        "where": reads.where_words_long(found.parent),
        "much": reads.sum_in(reader, found),
        "moved": reads.moves_of_container(reader, found).filter(put_right=False).first() if found.movable else None,
        "containers": list(reads.containers_in(found)[:20]),
        "movements": list(reads.movements_at(reader, keys)[:_NEWEST]),
        "nodes": drawn(reads.all_places(reader), reads.counts(), here=found.pk),
        "form": MoveForm(actor=reader) if found.movable and not found.closed_on else None,
        "past": past[:_NEWEST],
        "panels": place_panels(reader, found),
        "undo": undo,
        "undo_said": reads.said_of_move(reader, undo) if undo else "",
        "key": uuid4().hex,
    }


def _page_of(request: Asked, found: Place) -> dict[str, Any]:
    """The rows of this page of what is in it, and where the others are."""
    shown = Paginator(reads.contents(request.actor, found), _ROWS).get_page(request.GET.get("page"))
    return {
        "shown": shown,
        "newer": f"?page={shown.previous_page_number()}" if shown.has_previous() else "",
        "older": f"?page={shown.next_page_number()}" if shown.has_next() else "",
    }


@page("place.write")
def new_place(request: Asked) -> HttpResponse:
    """A new node of the tree, below the place asked for."""
    below = request.GET.get("in", "")
    form = PlaceForm(request.POST or None, actor=request.actor, initial={"parent": _chosen(request.actor, below)})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            said = form.said()
            name, kind = said.pop("name"), said.pop("kind")
            made = actions.add_place(request.actor, form.cleaned_data["code"], name, kind, **said)
            messages.success(request, f"{made.code} is on record. Print its label next.")
            return HttpResponseRedirect(made.href)
    return render(request, "places/new_place.html", {"form": form, "act": "Write the place"}, status=status_of(form))


def _chosen(reader: Actor, code: str) -> Chosen | None:
    meant = reads.place_coded(reader, code) if code else None
    return Chosen(meant.name, meant.code) if meant else None


@page("place.write")
def change_place(request: Asked, code: str) -> HttpResponse:
    """Changes what is said of a place; its code stays."""
    found = reads.place_at(request.actor, code)
    form = ChangePlaceForm(request.POST or None, actor=request.actor, initial=_begin(found))
    form.pencil = f"place-{found.code}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            said = form.said()
            if said["movable"] is None:
                del said["movable"]
            actions.change_place(request.actor, found.pk, said, expected_version=form.cleaned_data["version"])
            messages.success(request, f"{found.code} is changed.")
            return HttpResponseRedirect(found.href)
    facts = {"form": form, "place": found, "act": f"Write it down for {found.code}"}
    return render(request, "places/change_place.html", facts, status=status_of(form))


def _begin(found: Place) -> dict[str, Any]:
    begun = {n: getattr(found, n) for n in ("name", "kind", "holds_kg", "fitness", "who_enters", "note", "version")}
    begun["movable"] = "yes" if found.movable else "no"
    begun["parent"] = Chosen(found.parent.name, found.parent.code) if found.parent else None
    return begun


@page("place.write")
def close_place(request: Asked, code: str) -> HttpResponse:
    """Takes an empty place out of use, or a closed one into use again."""
    found = reads.place_at(request.actor, code)
    if request.method == "POST":
        (actions.open_place if found.closed_on else actions.close_place)(request.actor, found.pk)
        words = "in use again" if found.closed_on else "no longer in use"
        messages.success(request, f"{found.code} is {words}.")
        return HttpResponseRedirect(found.href)
    return render(request, "places/close_place.html", {"place": found, "key": uuid4().hex})
