"""It broke: one page at the bench; the masses of the parts afterwards."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts.reads import cast_at, piece_at
from catalog.casts.subject import Subject
from catalog.ground.fields import Chosen
from catalog.ground.http import Asked, page, posted, refusals_on, status_of
from registry.condition import actions
from registry.condition.forms import BreakageForm, JoinsForm, LooseForm, MassesForm
from registry.condition.reads import breakages as broken
from registry.condition.reads import incidents as reads
from registry.condition.rules import incidents as rules
from registry.condition.said.incidents import BreakageSaid
from registry.places.reads import subject_meant, where_words_long


@page("breakage.record")
def new_breakage(request: Asked) -> HttpResponse:
    """`?of=2016.1.4`; without it the first field is the scan."""
    of = request.GET.get("of", "")[:200]
    return _breakage(request, subject_meant(request.actor, of) if of else None, of)


@page("breakage.record")
def break_piece(request: Asked, number: str, suffix: str) -> HttpResponse:
    """This piece broke."""
    piece = piece_at(request.actor, number, suffix)
    return _breakage(request, Subject(piece.cast, piece), str(piece))


@page("breakage.record")
def break_cast(request: Asked, number: str) -> HttpResponse:
    """This cast broke; one that is in pieces came apart along its joins (`?piece=4`: at one of these), or a piece of it broke."""
    cast = cast_at(request.actor, number)
    if not reads.is_in_pieces(cast):
        return _breakage(request, Subject(cast), cast.number)
    suffix = request.GET.get("piece", "")
    joins = broken.standing_joins(request.actor, cast, suffix)
    form = JoinsForm(posted(request), request.FILES or None, actor=request.actor, joins=joins)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            said = BreakageSaid(form.incident_said(), joins=tuple(form.chosen()))
            return _recorded(request, actions.record_breakage(request.actor, said))
    facts = {"form": form, "cast": cast, "joins": joins, "suffix": suffix}
    return render(request, "condition/apart.html", facts, status=status_of(form))


def _breakage(request: Asked, subject: Subject | None, of: str) -> HttpResponse:
    initial = {"of": Chosen(of, str(subject) if subject else "")}
    form = BreakageForm(posted(request), request.FILES or None, actor=request.actor, initial=initial)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return _recorded(request, actions.record_breakage(request.actor, form.said()))
    facts = {"form": form, "subject": subject} | (_about(subject) if subject else {})
    return render(request, "condition/breakage.html", facts, status=status_of(form))


def _about(subject: Subject) -> dict[str, Any]:
    """What the service knows by itself: where it is, in whose hands, what hinders, what follows."""
    thing = reads.thing_of(subject)
    known = reads.here_and_held(subject)
    return {
        "hindered": rules.hinders_breaking(thing),
        "where": rules.where_words(where_words_long(known.place) if known.place else "", known.hands),
        "follows": broken.what_will_follow(subject),
        "before": subject.piece or subject.cast,
    }


def _recorded(request: Asked, recorded: Any) -> HttpResponse:
    messages.success(request, f"{recorded.incident.number} is written: {reads.title_of(recorded.incident)}.")
    return redirect(recorded.incident.href)


@page("breakage.record")
def masses(request: Asked, number: str) -> HttpResponse:
    """Masses of the parts that wait for the balance."""
    incident = reads.incident_at(request.actor, number)
    form = MassesForm(posted(request), parts=broken.unweighed(incident))
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.weigh_parts(request.actor, incident.pk, form.said(), state=form.cleaned_data["mass_state"])
            messages.success(request, "The masses are written.")
            return redirect(incident.href)
    facts = {"form": form, "incident": incident, "act": "Write the masses"}
    return render(request, "condition/masses.html", facts, status=status_of(form))


@page("breakage.record")
def place_loose(request: Asked, number: str) -> HttpResponse:
    """Somebody knows now what some of the loose fragments broke from."""
    incident = reads.incident_at(request.actor, number)
    form = LooseForm(posted(request), actor=request.actor, broken=broken.may_take_loose(incident))
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.place_loose(request.actor, incident.pk, form.cleaned_data["of"], form.parts())
            messages.success(request, f"Placed: {', '.join(p.number for p in made)}.")
            return redirect(incident.href)
    facts = {"form": form, "incident": incident, "act": "Write what they broke from"}
    return render(request, "condition/loose.html", facts, status=status_of(form))
