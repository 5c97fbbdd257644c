"""Examining, one examination, two beside each other, the list of all, the condition report."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts.reads import cast_at, piece_at
from catalog.casts.subject import Subject
from catalog.ground import say
from catalog.ground.collection import today
from catalog.ground.http import Asked, page, posted, refusals_on, status_of
from catalog.ground.ids import as_uid
from catalog.ground.keeping import paper_for, papers_about
from catalog.ground.lists import Column, Facet, export, list_of
from catalog.ground.pdf import as_kept
from catalog.ground.refusal import Hindered
from catalog.ground.roles import may
from catalog.media.mark_drawing import Mark
from catalog.media.models import Photograph
from catalog.media.reads import drawing_of, photographs_of
from registry.condition import actions
from registry.condition.filters import ExaminationFilter
from registry.condition.forms import ExaminationForm, begin_draft, begin_new
from registry.condition.models import Examination
from registry.condition.page_examination import against_facts, examination_facts
from registry.condition.papers.examinations import condition_report
from registry.condition.reads import examinations as reads
from registry.condition.rules import examinations as rules
from registry.condition.states.examinations import GRADES, REASONS
from registry.places.reads import subject_said


@page("examination.write")
def new(request: Asked, number: str) -> HttpResponse:
    """Examine a cast, or one piece of it (`?piece=4`, `?for=before loan`, `?photo=<uid>`)."""
    suffix = request.GET.get("piece", "")
    what = Subject(cast_at(request.actor, number), piece_at(request.actor, number, suffix) if suffix else None)
    wrong = _put_right(request, what)
    last = wrong or reads.last_of(what)
    shots = list(photographs_of(request.actor, what.piece or what.cast)[:40])
    shown = _shown(request.GET.get("photo", ""), shots, last)
    form = ExaminationForm(
        posted(request), request.FILES or None, actor=request.actor, of=str(what),
        last=reads.standing_findings(last), picture=str(shown.uid) if shown else "",
        initial=begin_new(request.actor, request.GET.get("for", "")),
    )  # fmt: skip
    form.pencil = f"examination-{what}" + (f"-instead-of-{wrong.pk}" if wrong else "")
    if request.method == "POST" and form.is_valid():
        with refusals_on(form), form.at_its_fields():
            said = form.said(picture=shown, replaces=wrong)
            return _done(request, actions.examine(request.actor, what, said, sign=form.signing))
    facts = _form_facts(form, what, last, shots, shown) | {"wrong": wrong}
    return render(request, "condition/examine.html", facts, status=status_of(form))


def _put_right(request: Asked, what: Subject) -> Examination | None:
    """The signed examination that this one is to put right, where the address names one."""
    pk = request.GET.get("instead_of", "")
    if not (pk.isascii() and pk.isdigit()):
        return None
    found = reads.examination_at(request.actor, int(pk))
    return found if found.number == str(what) else None


def _shown(uid: str, shots: list[Photograph], last: Examination | None) -> Photograph | None:
    """The picture asked for, else the one looked at last, else the first."""
    wanted = as_uid(uid)
    by_uid = {p.uid: p for p in shots}
    if wanted in by_uid:
        return by_uid[wanted]
    if last and last.picture and last.picture.uid in by_uid:
        return last.picture
    return next((p for p in shots if not p.of_label), None)


def _form_facts(
    form: ExaminationForm, what: Subject, last: Examination | None, shots: list[Photograph], shown: Photograph | None
) -> dict[str, Any]:
    before = [
        Mark(str(f.n), f.mark.drawn, "before")
        for f in reads.standing_findings(last)
        if f.mark and shown and f.mark.photograph_id == shown.pk
    ]
    return {
        "form": form,
        "what": what,
        "tag_of": str(what),
        "last": last,
        "shots": shots,
        "shown": shown,
        "drawing": drawing_of(shown, before) if shown else "",
        "cautions": rules.cautions(what.cast.material, last.grade if last else ""),
        "sentence": rules.sentence_signed(str(what), today()),
    }


def _done(request: Asked, made: Examination) -> HttpResponse:
    if made.signed:
        when = f" Look again by {say.day(made.next_due)}." if made.next_due else ""
        messages.success(request, f"The examination of {made.number} is signed: {made.grade}.{when}")
    else:
        messages.success(request, f"The examination of {made.number} is kept, and not signed yet.")
    return redirect(made.href)


@page("examination.write")
def of_anything(request: Asked) -> HttpResponse:
    """`/examinations/new/?of=2016.1.4&for=routine`: on to the page of that thing; without a number it asks for one, also without signal."""
    if of := request.GET.get("of", "")[:200]:
        what = subject_said(request.actor, of, "of")
        return redirect(_new_at(what, request.GET.get("for", "")))
    form = ExaminationForm(
        posted(request), request.FILES or None, actor=request.actor, initial=begin_new(request.actor, "")
    )
    form.pencil = "examination"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form), form.at_its_fields():
            what = subject_said(request.actor, form.cleaned_data["of"], "of")
            return _done(request, actions.examine(request.actor, what, form.said(), sign=form.signing))
    facts = {"form": form, "cautions": rules.cautions("", ""), "sentence": "What is written here is what I saw."}
    return render(request, "condition/examine.html", facts, status=status_of(form))


def _new_at(what: Subject, reason: str) -> str:
    from urllib.parse import urlencode

    asked = {"piece": what.piece.suffix if what.piece else "", "for": reason}
    query = urlencode({k: v for k, v in asked.items() if v})
    return f"{what.cast.href}examinations/new/" + (f"?{query}" if query else "")


@page("examination.write")
def change(request: Asked, pk: int) -> HttpResponse:
    """Go on with an unsigned examination, and sign it."""
    draft = reads.examination_at(request.actor, pk)
    if draft.signed:
        raise Hindered("It is signed, and signed it stays as it is. Write a new one that puts it right.")
    what = Subject(draft.cast, draft.piece)
    last = draft.replaces or reads.last_of(what, draft.on)
    last = reads.examination_at(request.actor, last.pk) if last else None
    shots = list(photographs_of(request.actor, what.piece or what.cast)[:40])
    shown = _shown(request.GET.get("photo", ""), shots, draft)
    form = ExaminationForm(
        posted(request), request.FILES or None, actor=request.actor, of=str(what),
        last=reads.standing_findings(last), picture=str(shown.uid) if shown else "", initial=begin_draft(draft),
    )  # fmt: skip
    form.pencil, form.outbox = f"examination-draft-{pk}", ""
    if request.method == "POST" and form.is_valid():
        with refusals_on(form), form.at_its_fields():
            said = form.said(picture=shown, replaces=draft.replaces)
            seen = form.cleaned_data["version"]
            made = actions.change_draft(request.actor, pk, said, expected_version=seen, sign=form.signing)
            return _done(request, made)
    facts = _form_facts(form, what, last, shots, shown) | {"draft": draft}
    return render(request, "condition/examine.html", facts, status=status_of(form))


@page("examination.sign")
def sign(request: Asked, pk: int) -> HttpResponse:
    """Signs an examination as it stands."""
    held = reads.examination_at(request.actor, pk)
    if request.method == "POST":
        version = request.POST.get("version", "")
        seen = int(version) if version.isascii() and version.isdigit() else None
        return _done(request, actions.sign_examination(request.actor, pk, expected_version=seen))
    return redirect(held.href)


# looking


@page("record.read")
def examination(request: Asked, pk: int) -> HttpResponse:
    """One examination: the verdict first, pictures with their marks, findings, what changed."""
    held = reads.examination_at(request.actor, pk)
    facts = examination_facts(request.actor, held)
    facts["kept"] = list(papers_about(request.actor, str(held.uid)))
    return render(request, "condition/examination.html", facts)


@page("record.read")
def against(request: Asked, pk: int, other: int) -> HttpResponse:
    """Two examinations of the same thing beside each other, findings joined."""
    one, two = reads.examination_at(request.actor, pk), reads.examination_at(request.actor, other)
    if (one.cast_id, one.piece_id) != (two.cast_id, two.piece_id):
        raise Hindered("These are examinations of two different things. Choose two of the same.")
    return render(request, "condition/against.html", against_facts(one, two))


SORTS = {"on": "on", "what": "cast__sort", "due": "next_due", "id": "id"}
COLUMNS = [
    Column("what", lambda e: e.number),
    Column("on", lambda e: e.on.isoformat()),
    Column("reason", lambda e: e.reason),
    Column("by", lambda e: e.by.name),
    Column("grade", lambda e: e.grade),
    Column("findings", lambda e: e.n_findings),
    Column("next_due", lambda e: e.next_due.isoformat() if e.next_due else ""),
    Column("signed_at", lambda e: e.signed_at.isoformat() if e.signed_at else ""),
    Column("uid", lambda e: str(e.uid)),
]
FACETS = [
    Facet("grade", "grade", "In which state?", dict(GRADES)),
    Facet("reason", "reason", "Why?", dict(REASONS)),
]


@page("record.read")
def examinations(request: Asked) -> HttpResponse:
    """All examinations, newest first."""
    return _list(request, None)


@page("record.read")
def of_cast(request: Asked, number: str) -> HttpResponse:
    """The examinations of one cast and its pieces."""
    return _list(request, cast_at(request.actor, number))


def _list(request: Asked, cast: Any) -> HttpResponse:
    rows = reads.for_list(request.actor)
    rows = rows.filter(cast=cast) if cast else rows
    listing = list_of(request, rows, ExaminationFilter, sorts=SORTS, sort="-on", facets=FACETS)
    if kind := request.GET.get("format"):
        return export(listing.rows, COLUMNS, kind, "examinations")  # type: ignore[return-value]
    facts = {"listing": listing, "cast": cast, "may_examine": may(request.actor, "examination.write")}
    return render(request, "condition/examinations.html", facts)


@page("record.read")
def report(request: Asked, pk: int) -> HttpResponse:
    """The condition report, kept byte for byte once it is signed."""
    held = reads.examination_at(request.actor, pk)
    return as_kept(paper_for(request.actor, condition_report(request.actor, held)))
