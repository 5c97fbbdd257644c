"""A cast or a piece on the balance, now or again; all its weighings."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts.reads import cast_at, piece_at
from catalog.casts.subject import Subject
from catalog.ground import say
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.measurements import actions, reads
from catalog.measurements.forms import WeighForm

_SHOWN = 50


@page("measurement.post")
def weigh_cast(request: Asked, number: str) -> HttpResponse:
    """The cast as a whole."""
    return _weigh(request, Subject(cast_at(request.actor, number)))


@page("measurement.post")
def weigh_piece(request: Asked, number: str, suffix: str) -> HttpResponse:
    """One piece of it."""
    piece = piece_at(request.actor, number, suffix)
    return _weigh(request, Subject(piece.cast, piece))


def _weigh(request: Asked, subject: Subject) -> HttpResponse:
    rows = list(reads.weighings_of(request.actor, subject)[:_SHOWN])
    begin = {"instrument": next((m.instrument.code for m in rows if m.instrument), "")}
    form = WeighForm(request.POST or None, actor=request.actor, initial=begin)
    form.pencil = f"weighing-{subject}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            said = form.said()
            last = reads.newest_of(subject) if form.cleaned_data["mistake"] == "yes" else None
            made = actions.weigh(request.actor, subject, said.pop("mass_g"), replaces=last, **said)
            messages.success(request, f"{subject} weighs {say.mass(made.value)}.")
            return redirect(subject.href)
    facts = {
        "form": form,
        "subject": subject,
        "rows": rows,
        "drying": reads.drying_of(rows) if rows else None,
        "act": f"Write down the mass of {subject}",
    }
    return render(request, "measurements/weigh.html", facts, status=status_of(form))
