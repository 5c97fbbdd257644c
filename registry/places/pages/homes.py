"""Where a cast belongs."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.casts.reads import cast_at
from catalog.casts.subject import Subject
from catalog.ground.fields import Chosen
from catalog.ground.http import Asked, page, refusals_on, status_of
from registry.places import actions, reads
from registry.places.forms import HomeForm


@page("place.write")
def set_home(request: Asked, number: str) -> HttpResponse:
    """Where it belongs, kept apart from where it is."""
    subject = Subject(cast_at(request.actor, number))
    placed = reads.placement_of(subject)
    home, here = (placed.home, placed.place) if placed else (None, None)
    offered = home or here
    begun = {
        "home": Chosen(offered.name, offered.code) if offered else None,
        "version": placed.version if placed else 0,
    }
    form = HomeForm(request.POST or None, actor=request.actor, initial=begun)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            chosen, seen = form.cleaned_data["home"], form.cleaned_data["version"]
            actions.set_home(request.actor, subject, chosen, expected_version=seen)
            said = f"belongs {reads.where_words_long(chosen)}" if chosen else "has no home place on record"
            messages.success(request, f"{subject} {said}.")
            return HttpResponseRedirect(subject.href)
    facts = {"form": form, "cast": subject.cast, "act": f"Write where {subject} belongs"}
    return render(request, "places/set_home.html", facts, status=status_of(form))
