"""How an entry ends otherwise than with a number."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts.models import Cast
from catalog.casts.reads import cast_at
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.refusal import NotFound
from registry.accessions import actions, reads
from registry.accessions.forms import GiveBackForm, RefuseForm, SameAsForm, TeachingForm
from registry.accessions.forms.coming_in import chosen_person
from registry.accessions.models import EntryObject


def _came_in(request: Asked, number: str) -> tuple[Cast, EntryObject]:
    cast = cast_at(request.actor, number)
    thing = reads.object_of(cast)
    if thing is None:
        raise NotFound(f"{cast.number} did not come in by an entry, so it does not go out by one.")
    return cast, thing


def _shown(request: Asked, template: str, form: Any, cast: Cast, thing: EntryObject, act: str) -> HttpResponse:
    facts = {"form": form, "cast": cast, "thing": thing, "entry": thing.entry, "act": act}
    return render(request, f"accessions/{template}.html", facts, status=status_of(form))


@page("exit.write")
def give_back(request: Asked, number: str) -> HttpResponse:
    """It goes back, with an exit note."""
    cast, thing = _came_in(request, number)
    entry = thing.entry
    begin = {"to": chosen_person(entry.from_person, entry.from_words), "parts": cast.n_parts}
    form = GiveBackForm(request.POST or None, initial=begin)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            note = actions.give_back(request.actor, cast, form.said())
            messages.success(request, f"{cast.number} is given back: exit note {note.number}.")
            return redirect(entry.href)
    return _shown(request, "give_back", form, cast, thing, f"Give {cast.number} back")


@page("exit.write")
def refuse(request: Asked, number: str) -> HttpResponse:
    """It is not taken in, with the reason."""
    cast, thing = _came_in(request, number)
    form = RefuseForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.refuse(request.actor, cast, form.cleaned_data["ground"], went_back=form.went_back())
            messages.success(request, f"{cast.number} is refused.")
            return redirect(thing.entry.href)
    return _shown(request, "refuse", form, cast, thing, f"Refuse {cast.number}")


@page("accession.do")
def keep_for_teaching(request: Asked, number: str) -> HttpResponse:
    """It stays for teaching, without a line of the register."""
    cast, thing = _came_in(request, number)
    form = TeachingForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.keep_for_teaching(request.actor, cast, form.cleaned_data["ground"])
            messages.success(request, f"{cast.number} is kept for teaching.")
            return redirect(thing.entry.href)
    return _shown(request, "keep_for_teaching", form, cast, thing, f"Keep {cast.number} for teaching")


@page("accession.do")
def same_as(request: Asked, number: str) -> HttpResponse:
    """It turned out to be a cast that is on record already."""
    cast, thing = _came_in(request, number)
    form = SameAsForm(request.POST or None, actor=request.actor)
    if request.method == "POST" and form.is_valid() and form.cleaned_data["same_as"]:
        with refusals_on(form):
            other = form.cleaned_data["same_as"]
            actions.same_as(request.actor, cast, other, form.cleaned_data["ground"])
            messages.success(request, f"{cast.number} is closed as the same as {other.number}.")
            return redirect(other.href)
    return _shown(request, "same_as", form, cast, thing, f"Close {cast.number} as the same")
