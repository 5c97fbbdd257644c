"""The number on the object itself: put on, read back, gone."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts.reads import cast_at, subject_of
from catalog.casts.subject import Subject
from catalog.ground import say
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.refusal import NotFound, Refusal
from registry.accessions.actions.marking import mark_many, marking_gone
from registry.accessions.forms.labels import numbers_in
from registry.accessions.forms.marking import GoneForm, MarkingForm
from registry.accessions.reads.told import markings_of
from registry.accessions.rules.marking import cautions_for

MOST = 200


@page("marking.record")
def mark(request: Asked, number: str) -> HttpResponse:
    """Write that the number was put on one cast."""
    return _mark(request, [Subject(cast_at(request.actor, number))])


@page("marking.record")
def mark_these(request: Asked) -> HttpResponse:
    """The same for several casts and pieces at once: `?of=2016.1,2016.1.3`."""
    numbers = numbers_in(request.GET.get("of", ""))
    if not numbers:
        raise NotFound("Say which: open a cast, or come from its label.")
    if len(numbers) > MOST:
        raise Refusal(f"Write at most {MOST} at once.")
    return _mark(request, [subject_of(request.actor, text) for text in numbers])


def _mark(request: Asked, subjects: list[Subject]) -> HttpResponse:
    form = MarkingForm(request.POST or None)
    numbers = [str(subject) for subject in subjects]
    form.pencil = f"marking-{numbers[0]}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = mark_many(request.actor, subjects, form.said())
            messages.success(
                request, f"{say.listed([m.number for m in made][:6])}: its number is on it now, as written."
            )
            return redirect(subjects[0].href if len(subjects) == 1 else "/today/")
    facts = {
        "form": form,
        "subjects": subjects,
        "numbers": numbers,
        "cautions": cautions_for([subject.cast.material or "unknown" for subject in subjects]),
        "materials": say.listed(list(dict.fromkeys(s.cast.material or "not known" for s in subjects))),
        "act": f"Write that {numbers[0]} bears its number"
        if len(numbers) == 1
        else f"Write it for these {len(numbers)}",
    }
    return render(request, "accessions/mark.html", facts, status=status_of(form))


@page("marking.record")
def gone(request: Asked, number: str, pk: int) -> HttpResponse:
    """Write that a number is no longer on the object."""
    cast = cast_at(request.actor, number)
    marking = markings_of(request.actor, cast).filter(pk=pk).first()
    if marking is None:
        raise NotFound("This cast has no such marking.")
    form = GoneForm(request.POST or None, initial={"version": marking.version})
    if request.method == "POST" and form.is_valid():
        typed: dict[str, Any] = form.cleaned_data
        with refusals_on(form):
            marking_gone(request.actor, pk, typed["why"], on=typed["on"], expected_version=typed["version"])
            messages.success(request, f"{marking.number} is no longer marked. Put its number on again.")
            return redirect(cast.href)
    facts = {"form": form, "cast": cast, "marking": marking, "act": "Write that it is gone"}
    return render(request, "accessions/marking_gone.html", facts, status=status_of(form))
