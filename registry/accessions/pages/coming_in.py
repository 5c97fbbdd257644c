"""What was brought in, and bringing in."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.ground.asks import history_of
from catalog.ground.conflict import meeting, settled
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.lists import Column, export, list_of
from catalog.ground.refusal import Stale
from registry.accessions import actions, reads
from registry.accessions.filters import ENTRY_FACETS, ENTRY_SORTS, EntryFilter
from registry.accessions.forms import ChangeEntryForm, EntryForm, ObjectForm
from registry.accessions.page import entry_facts
from registry.accessions.reads.register import entry_number_to_come

COLUMNS = [
    Column("number", lambda e: e.number),
    Column("came_on", lambda e: e.came_on.isoformat()),
    Column("what", lambda e: e.what),
    Column("how", lambda e: e.how),
    Column("from", lambda e: str(e.from_person or e.from_words)),
    Column("parts", lambda e: e.n_parts),
    Column("taken_in_by", lambda e: str(e.taken_in_by or "")),
    Column("waiting", lambda e: e.waiting),
]


@page("record.read")
def entries(request: Asked) -> HttpResponse:
    """What was brought in: what waits for an outcome first, oldest first."""
    rows = reads.entries_for_list(request.actor)
    listing = list_of(request, rows, EntryFilter, sorts=ENTRY_SORTS, sort="waiting", facets=ENTRY_FACETS)
    if kind := request.GET.get("format"):
        return export(listing.rows, COLUMNS, kind, "entries")  # type: ignore[return-value]
    facts = {"listing": listing, "rows": reads.with_objects(listing.page)}
    return render(request, "accessions/entries.html", facts)


@page("entry.make")
def enter(request: Asked) -> HttpResponse:
    """Bring in an object: one page that asks what is known at the door."""
    form = EntryForm(request.POST or None, request.FILES or None, actor=request.actor)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            entry = actions.enter(request.actor, form.said())
            messages.success(request, f"{entry.number} is written. Its receipt can be printed now.")
            return redirect(entry.href)
    number = entry_number_to_come()
    facts = {"form": form, "number": number, "act": f"Write entry {number} and its receipt"}
    return render(request, "accessions/enter.html", facts, status=status_of(form))


@page("record.read")
def entry_page(request: Asked, number: str) -> HttpResponse:
    """One entry: what comes next, what is known of it, what happened."""
    entry = reads.entry_at(request.actor, number)
    if entry.number.lower() != number.lower():
        return redirect(entry.href)
    past = sorted(history_of(request.actor, entry), key=lambda e: e.at, reverse=True)
    return render(request, "accessions/entry_page.html", entry_facts(request.actor, entry) | {"past": past})


@page("entry.make")
def change_entry(request: Asked, number: str) -> HttpResponse:
    """Put an entry right, or add what is known now."""
    entry = reads.entry_at(request.actor, number)
    form = ChangeEntryForm(request.POST or None, initial=ChangeEntryForm.begin(entry), actor=request.actor)
    form.pencil = f"entry-{entry.number}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            if answer := _change(request, entry, form):
                return answer
    facts = {"form": form, "entry": entry, "act": f"Write it down for {entry.number}"}
    return render(request, "accessions/change_entry.html", facts, status=status_of(form))


def _change(request: Asked, entry: Any, form: ChangeEntryForm) -> HttpResponse | None:
    """Writes it; what somebody else changed meanwhile in other places is kept, in the same place both are shown."""
    said = settled(form.said(), request.POST)  # type: ignore[arg-type]
    version = form.cleaned_data["version"] or 0
    try:
        actions.change_entry(request.actor, entry.pk, said, expected_version=version)
    except Stale as stale:
        now: Any = stale.now
        met = meeting(now, version, said)
        if met.clashes:
            return _both(request, entry, said, now, met.clashes)
        actions.change_entry(request.actor, entry.pk, met.mine, expected_version=now.version)
    return redirect(entry.href)


def _both(request: Asked, entry: Any, said: dict[str, Any], now: Any, clashes: list[str]) -> HttpResponse:
    rows = [
        {
            "name": name,
            "label": str(now._meta.get_field(name).verbose_name).capitalize(),
            "theirs": str(getattr(now, name) or "nothing"),
            "mine": str(said[name] or "nothing"),
        }
        for name in clashes
    ]
    kept = [(k, v) for k, v in request.POST.items() if k not in ("version", "key", "csrfmiddlewaretoken")]
    who = now.changed_by.person.name if now.changed_by else "Somebody"
    facts = {"cast": entry, "rows": rows, "kept": kept, "now": now, "who": who}
    return render(request, "casts/both.html", facts, status=412)


@page("entry.make")
def add_object(request: Asked, number: str) -> HttpResponse:
    """One more object of the same entry."""
    entry = reads.entry_at(request.actor, number)
    form = ObjectForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            thing = actions.add_object(request.actor, entry.pk, form.said())
            messages.success(request, f"{thing.cast.number} is written.")
            return redirect(entry.href)
    facts = {"form": form, "entry": entry, "act": f"Write one more object of {entry.number}"}
    return render(request, "accessions/add_object.html", facts, status=status_of(form))
