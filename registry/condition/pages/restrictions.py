"""Pages on what is barred."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts.reads import cast_at, piece_at
from catalog.casts.subject import Subject
from catalog.ground.http import Asked, page, refusals_on, status_of
from registry.condition import actions
from registry.condition.forms import LiftForm, RestrictionForm
from registry.condition.reads import restrictions as reads
from registry.condition.rules.restrictions import DONE


@page("restriction.write")
def restrict(request: Asked, number: str) -> HttpResponse:
    """Bar a deed for a cast, or for one piece of it (`?piece=4`)."""
    suffix = request.GET.get("piece", "")
    subject = Subject(cast_at(request.actor, number), piece_at(request.actor, number, suffix) if suffix else None)
    form = RestrictionForm(request.POST or None, actor=request.actor)
    form.pencil = f"restriction-{subject}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.restrict(request.actor, subject, form.said())
            messages.success(request, f"{subject} cannot be {DONE[form.cleaned_data['deed']]} from now on.")
            return redirect(subject.href)
    facts = {"form": form, "subject": subject, "act": f"Bar it for {subject}"}
    return render(request, "condition/restrict.html", facts, status=status_of(form))


@page("restriction.lift")
def lift(request: Asked, pk: int) -> HttpResponse:
    """The keeper lets it be done again."""
    barred = reads.restriction_at(request.actor, pk)
    form = LiftForm(request.POST or None, initial={"version": barred.version})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.lift_restriction(
                request.actor, pk, form.cleaned_data["why"], expected_version=form.cleaned_data["version"]
            )
            messages.success(request, f"{barred.piece or barred.cast} may be {DONE[barred.deed]} again.")
            return redirect((barred.piece or barred.cast).href)
    facts = {"form": form, "barred": barred, "act": "Let it be done again"}
    return render(request, "condition/lift.html", facts, status=status_of(form))
