"""The case, the decision, the title, and the press that gives the number."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render

from catalog.casts.models import Cast
from catalog.casts.reads import cast_at
from catalog.ground.http import Asked, page, prove_again, recently_proven, refusals_on, status_of
from catalog.ground.refusal import NotFound
from registry.accessions import actions, reads
from registry.accessions.forms import AccessionForm, DecisionForm, ProposalForm, TitleForm, WitnessForm
from registry.accessions.models import Accession, Acquisition
from registry.accessions.page import accession_facts, case_facts, entry_facts


def _case(cast: Cast) -> Acquisition | None:
    beside = ("proposed_by__person", "decided_by__person", "from_person")
    return Acquisition.objects.select_related(*beside).filter(cast=cast).first()


@page("acquisition.propose")
def propose(request: Asked, number: str) -> HttpResponse:
    """Make the case for keeping it, or make it better."""
    cast = cast_at(request.actor, number)
    case, thing = _case(cast), reads.object_of(cast)
    entry = thing.entry if thing else None
    begin = ProposalForm.begin(
        case,
        how=entry.how if entry else "",
        person=entry.from_person if entry else None,
        words=entry.from_words if entry else "",
    )
    form = ProposalForm(request.POST or None, initial=begin)
    form.pencil = f"proposal-{cast.number}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            version = form.cleaned_data["version"] if case else None
            actions.propose(request.actor, cast, form.said(), expected_version=version)
            done = "The case is written." if case else f"{cast.number} is proposed. The keeper decides."
            messages.success(request, done)
            return redirect(cast.href)
    facts = {"form": form, "cast": cast, "act": f"Propose {cast.number}" if case is None else "Write the case anew"}
    return render(request, "accessions/propose.html", facts | case_facts(case), status=status_of(form))


@page("acquisition.decide")
def decide(request: Asked, number: str) -> HttpResponse:
    """Read the case and decide."""
    cast = cast_at(request.actor, number)
    case = _case(cast)
    if case is None:
        return redirect(f"{cast.href}proposal/")
    form = DecisionForm(request.POST or None, initial={"version": case.version}, alone=request.actor.alone)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            version = form.cleaned_data["version"]
            done = actions.decide(request.actor, cast, form.said(), expected_version=version)
            messages.success(request, f"{cast.number} is {done.decision}.")
            return redirect(cast.href)
    facts = {
        "form": form,
        "cast": cast,
        "act": "Write the decision",
        "own": case.proposed_by_id == request.actor.account_id,
    }
    return render(request, "accessions/decide.html", facts | case_facts(case), status=status_of(form))


@page("acquisition.decide")
def name_witness(request: Asked, number: str) -> HttpResponse:
    """Name the outside witness of a decision that was taken single-handed."""
    cast = cast_at(request.actor, number)
    case = _case(cast)
    if case is None or not case.single_handed:
        raise NotFound("There is no decision here that wants a witness.")
    form = WitnessForm(request.POST or None, initial={"witness": case.witness})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.name_witness(request.actor, cast, form.cleaned_data["witness"])
            return redirect(cast.href)
    facts = {"form": form, "cast": cast, "act": "Write the witness"}
    return render(request, "accessions/name_witness.html", facts | case_facts(case), status=status_of(form))


@page("title.change")
def state_title(request: Asked, number: str) -> HttpResponse:
    """Write the state of title that holds from now on."""
    cast = cast_at(request.actor, number)
    form = TitleForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.state_title(request.actor, cast, form.said())
            messages.success(request, f"Title of {cast.number} is now {made.state}.")
            return redirect(cast.href)
    numbered = Accession.objects.filter(cast=cast).exists()
    facts = {"form": form, "cast": cast, "now": reads.title_now(cast), "act": "Write the state of title"}
    facts |= {"line": reads.next_line() if numbered else 0}
    return render(request, "accessions/state_title.html", facts, status=status_of(form))


@page("accession.do")
def accession(request: Asked, number: str) -> HttpResponse:
    """Take it into the collection: the sentence, what is missing, the line as it will stand."""
    cast = cast_at(request.actor, number)
    if cast.number.lower() != number.lower() or Accession.objects.filter(cast=cast).exists():
        messages.info(request, f"{cast.number} has its number already.")
        return redirect(cast.href)
    facts = accession_facts(request.actor, cast)
    form = _accession_form(request, cast, facts)
    if request.method == "POST" and form.is_valid():
        _prove_clock(request, form)
        with refusals_on(form):
            done = actions.accession(request.actor, cast, form.said(), expected_version=form.cleaned_data["version"])
            return _written(request, [done])
    return render(request, "accessions/accession.html", facts | {"form": form}, status=status_of(form))


def _accession_form(request: Asked, cast: Cast, facts: dict[str, Any]) -> AccessionForm:
    known = facts["known"]
    begin = {
        "description": cast.description,
        "parts": cast.n_parts,
        "way": known.way or (known.how if known.how in ("own excavation", "found in the collection") else ""),
        "version": cast.version,
    }
    form = AccessionForm(request.POST or None, initial=begin, title=known.title)
    form.pencil = f"accession-{cast.number}"
    return form


def _prove_clock(request: Asked, form: AccessionForm) -> None:
    """That the clock is right says somebody who proved lately who they are."""
    if form.cleaned_data["clock_is_right"] == "yes" and not recently_proven(request):
        prove_again(request)


def _written(request: Asked, done: list[Accession]) -> HttpResponse:
    numbers = [a.number for a in done]
    for made in done:
        messages.success(request, f"Line {made.line.n} is written: {made.number}.")
    if request.POST.get("then") == "label":
        return redirect(f"/labels/?of={quote(','.join(numbers))}")
    return redirect(f"/casts/{numbers[0]}/" if len(numbers) == 1 else "/register/")


@page("accession.do")
def accession_many(request: Asked, number: str) -> HttpResponse:
    """All objects of an entry get their numbers in one press."""
    entry = reads.entry_at(request.actor, number)
    facts = entry_facts(request.actor, entry)
    form = _many_form(request.POST or None)
    if request.method == "POST" and form.is_valid():
        _prove_clock(request, form)
        with refusals_on(form):
            return _written(request, actions.accession_many(request.actor, entry.pk, form.said()))
    wait = [r for r in facts["rows"] if r["thing"].state in ("entered", "proposed", "accepted")]
    facts |= {"form": form, "wait": wait, "line": reads.next_line(), "number": reads.number_to_come()}
    return render(request, "accessions/accession_many.html", facts, status=status_of(form))


def _many_form(data: QueryDict | None) -> AccessionForm:
    form = AccessionForm(data)
    form.fields["description"].required = False
    for name in ("description", "parts"):
        form.fields[name].disabled = True
    return form
