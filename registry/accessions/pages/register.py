"""The accession register: its lines, one line, a check, and the lines that people write themselves."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.lists import Column, export, list_of
from catalog.ground.refusal import Hindered
from registry.accessions import actions, reads
from registry.accessions.filters import LINE_FACETS, LINE_SORTS, LineFilter
from registry.accessions.forms import CorrectionForm, TranscribeForm, VoidForm
from registry.accessions.models import Checkpoint, LedgerLine
from registry.accessions.reads.register import LineView, line_view, line_views
from registry.accessions.seal import seal_words

COLUMNS = [
    Column("line", lambda v: v.n),
    Column("at", lambda v: v.at.isoformat()),
    Column("kind", lambda v: v.kind),
    Column("number", lambda v: v.members.get("number") or ""),
    Column("entry", lambda v: v.entry),
    Column("date", lambda v: v.date),
    Column("object", lambda v: v.members.get("object") or ""),
    Column("parts", lambda v: v.members.get("pieces")),
    Column("mass_g", lambda v: v.members.get("mass_g") or ""),
    Column("title", lambda v: v.members.get("title") or ""),
    Column("words", lambda v: v.words),
    Column("source", lambda v: v.source),
    Column("by", lambda v: v.who),
    Column("corrects", lambda v: v.corrects),
    Column("corrected_by", lambda v: ", ".join(map(str, v.corrected_by))),
    Column("seal", lambda v: v.seal),
]


class _Views:
    """All chosen lines in words, in batches: names and corrections are looked up once for each batch."""

    def __init__(self, rows: QuerySet[LedgerLine]) -> None:
        self.rows = rows

    def iterator(self, chunk_size: int) -> Iterator[LineView]:
        lines = self.rows.iterator(chunk_size=chunk_size)
        while batch := list(islice(lines, chunk_size)):
            yield from line_views(batch)


@page("register.read")
def register(request: Asked) -> HttpResponse:
    """The lines, newest first, and whether all of them stand."""
    rows = reads.lines_for_list(request.actor)
    listing = list_of(request, rows, LineFilter, sorts=LINE_SORTS, sort="-line", facets=LINE_FACETS)
    if kind := request.GET.get("format"):
        return export(_Views(listing.rows), COLUMNS, kind, "register")  # type: ignore[arg-type,return-value]
    facts = {
        "listing": listing,
        "rows": line_views(listing.page),
        "say": reads.register_sentence(),
        "size": reads.next_line() - 1,
        "checked": reads.checked_last(),
        "outside": Checkpoint.objects.order_by("-pk").first(),
        "seal": seal_words(reads.root_now()),
    }
    return render(request, "accessions/register.html", facts)


@page("register.read")
def line_page(request: Asked, line: int) -> HttpResponse:
    """One line: what it says, what puts it right, its seal and its bytes."""
    found = reads.line_at(request.actor, line)
    original = reads.original_of(found)
    facts = {
        "line": found,
        "view": line_view(found),
        "original": original if original.pk != found.pk else None,
        "leaf": bytes(found.leaf).hex(),
        "head": bytes(found.head).hex(),
        "bytes": bytes(found.raw).decode(),
        "correctable": reads.correctable(original),
    }
    return render(request, "accessions/line_page.html", facts)


@page("register.verify")
def check(request: Asked) -> HttpResponse:
    """All lines are checked again now."""
    if request.method != "POST":
        return redirect("/register/")
    found = actions.check_register(request.actor)
    (messages.success if found.ok else messages.error)(request, found.sentence)
    return redirect("/register/")


@page("accession.do")
def transcribe(request: Asked) -> HttpResponse:
    """Take over a line of an older register."""
    form = TranscribeForm(request.POST or None, request.FILES or None, actor=request.actor)
    form.pencil = "transcribe"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            line = actions.transcribe_line(request.actor, form.said())
            messages.success(request, f"Line {line.n} is written: {line.number}, taken over.")
            return redirect(line.cast.href if line.cast else f"/register/{line.n}/")
    facts = {"form": form, "line": reads.next_line(), "act": f"Write line {reads.next_line()}"}
    return render(request, "accessions/transcribe.html", facts, status=status_of(form))


@page("register.correct")
def correct(request: Asked, line: int) -> HttpResponse:
    """Put a line right by a new line that names it."""
    found = reads.line_at(request.actor, line)
    original = reads.original_of(found)
    fields = reads.correctable(original)
    if not fields:
        raise Hindered("Nothing in this line can be corrected. A wrong number is made void, and a new one given.")
    form = CorrectionForm(request.POST or None, fields=fields)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.correct_line(request.actor, found.n, form.said())
            messages.success(request, f"Line {made.n} is written. It puts line {made.corrects} right.")
            return redirect(f"/register/{made.n}/")
    says = [{"name": name, "value": reads.standing_value(original, name)[1]} for name in fields]
    facts = {"form": form, "view": line_view(original), "says": says, "next": reads.next_line()}
    facts["act"] = f"Write line {facts['next']}"
    return render(request, "accessions/correct.html", facts, status=status_of(form))


@page("register.void")
def void(request: Asked) -> HttpResponse:
    """Close a number that was used outside the register, or lost."""
    form = VoidForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            line = actions.void_number(request.actor, form.cleaned_data["number"], form.cleaned_data["ground"])
            messages.success(request, f"Line {line.n} is written: {line.number} is closed.")
            return redirect(f"/register/{line.n}/")
    facts = {"form": form, "next": reads.next_line(), "act": f"Write line {reads.next_line()}"}
    return render(request, "accessions/void.html", facts, status=status_of(form))
