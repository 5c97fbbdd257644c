"""Incidents: the list, one of them, what is missing and found again, deciding and taking back, the insurance note."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts.reads import cast_at, piece_at
from catalog.casts.subject import Subject
from catalog.ground.http import Asked, page, posted, refusals_on, status_of
from catalog.ground.keeping import paper_for
from catalog.ground.lists import Column, Facet, export, list_of
from catalog.ground.pdf import as_kept
from catalog.ground.roles import may
from registry.condition import actions, papers
from registry.condition.filters import IncidentFilter
from registry.condition.forms import DecisionForm, FoundForm, MissingForm, TakeBackForm
from registry.condition.reads import breakages as broken
from registry.condition.reads import incidents as reads
from registry.condition.rules import incidents as rules
from registry.condition.states.incidents import HOWS, KINDS
from registry.places.reads import where_words_long

SORTS = {"noticed": "noticed_on", "number": "n"}
FACETS = [
    Facet("kind", "kind", "What happened?", dict(KINDS)),
    Facet("how", "how", "How?", dict(HOWS)),
    Facet("year", "year", "In which year?"),
]
COLUMNS = [
    Column("number", lambda i: i.number),
    Column("kind", lambda i: i.kind),
    Column("of", lambda i: " ".join(reads.numbers_of(i))),
    Column("noticed_on", lambda i: i.noticed_on.isoformat()),
    Column("noticed_by", lambda i: str(i.noticed_by or "")),
    Column("how", lambda i: i.how),
    Column("state", lambda i: i.standing),
]


@page("record.read")
def incidents(request: Asked) -> HttpResponse:
    """What happened to things, newest first."""
    listing = list_of(request, reads.incidents(request.actor), IncidentFilter, sorts=SORTS, sort="-noticed", facets=FACETS)  # fmt: skip
    if kind := request.GET.get("format"):
        return export(listing.rows, COLUMNS, kind, "incidents")  # type: ignore[return-value]
    rows = [{"row": i, "title": reads.title_of(i)} for i in listing.page]
    return render(request, "condition/incidents.html", {"listing": listing, "rows": rows})


@page("record.read")
def incident_page(request: Asked, number: str) -> HttpResponse:
    """What happened, what follows from it, what is to be done now."""
    incident = reads.incident_at(request.actor, number)
    later = broken.built_on(incident)
    facts = {
        "incident": incident,
        "title": reads.title_of(incident),
        "broken": broken.told_of(incident),
        "unweighed": broken.unweighed(incident),
        "labels": " ".join(broken.new_numbers(incident)),
        "open_faces": broken.open_questions(incident),
        "search": reads.still_missing().filter(pk=incident.pk).exists(),
        "loose": rules.loose_words(incident.loose.n, incident.loose.mass_g) if broken.has_loose(incident) else "",
        "later": later,
        "may_take_back": may(request.actor, "breakage.take_back") and broken.may_take_back(request.actor, incident),
        "may_decide": may(request.actor, "incident.decide", incident)
        and not rules.hinders_deciding(
            kind=incident.kind, standing=incident.standing, loose_n=broken.n_loose(incident)
        ),
    }
    return render(request, "condition/incident.html", facts)


@page("incident.report")
def missing_cast(request: Asked, number: str) -> HttpResponse:
    """The cast cannot be found."""
    return _missing(request, Subject(cast_at(request.actor, number)))


@page("incident.report")
def missing_piece(request: Asked, number: str, suffix: str) -> HttpResponse:
    """The piece cannot be found."""
    piece = piece_at(request.actor, number, suffix)
    return _missing(request, Subject(piece.cast, piece))


def _missing(request: Asked, subject: Subject) -> HttpResponse:
    form = MissingForm(posted(request), actor=request.actor)
    form.pencil = f"missing-{subject}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            incident = actions.report_missing(request.actor, subject, form.incident_said())
            messages.success(request, f"{incident.number} is written. Today keeps asking until it is found again.")
            return redirect(incident.href)
    known = reads.here_and_held(subject)
    facts = {
        "form": form,
        "subject": subject,
        "seen": where_words_long(known.place) if known.place else "",
        "act": f"{subject} is missing",
    }
    return render(request, "condition/missing.html", facts, status=status_of(form))


@page("incident.report")
def found(request: Asked, number: str) -> HttpResponse:
    """What was missing is here again."""
    search = reads.incident_at(request.actor, number)
    form = FoundForm(posted(request), actor=request.actor)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            incident = actions.report_found(request.actor, search.pk, form.said())
            messages.success(request, f"{incident.number} is written: {reads.title_of(incident)}.")
            return redirect(incident.href)
    facts: dict[str, Any] = {"form": form, "incident": search, "title": reads.title_of(search)}
    facts |= {"seen": reads.last_seen(search.subjects.all()[0]), "act": "It is found again"}
    return render(request, "condition/found.html", facts, status=status_of(form))


@page("incident.decide")
def decide(request: Asked, number: str) -> HttpResponse:
    """The keeper closes it."""
    incident = reads.incident_at(request.actor, number)
    form = DecisionForm(posted(request), initial={"version": incident.version})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            version = form.cleaned_data["version"]
            actions.decide_incident(request.actor, incident.pk, form.said(), expected_version=version)
            messages.success(request, f"{incident.number} is closed.")
            return redirect(incident.href)
    facts = {"form": form, "incident": incident, "title": reads.title_of(incident), "act": f"Close {incident.number}"}
    return render(request, "condition/decide.html", facts, status=status_of(form))


@page("breakage.take_back")
def take_back(request: Asked, number: str) -> HttpResponse:
    """It was recorded wrongly."""
    incident = reads.incident_at(request.actor, number)
    form = TakeBackForm(posted(request), initial={"version": incident.version})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            typed = form.cleaned_data
            actions.take_back_incident(request.actor, incident.pk, typed["why"], expected_version=typed["version"])
            messages.success(request, f"{incident.number} is taken back.")
            return redirect(incident.href)
    facts = {"form": form, "incident": incident, "title": reads.title_of(incident), "act": f"Take {incident.number} back"}  # fmt: skip
    return render(request, "condition/take_back.html", facts, status=status_of(form))


@page("record.read")
def insurance_note(request: Asked, number: str) -> HttpResponse:
    """What the insurer is told of it."""
    incident = reads.incident_at(request.actor, number)
    return as_kept(paper_for(request.actor, papers.insurance_note(request.actor, incident)))
