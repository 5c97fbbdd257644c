"""Pages of names: the list, one of them, put on the list, corrected."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.ground.asks import history_of
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.lists import Column, export, list_of
from catalog.taxa import actions, reads
from catalog.taxa.filters import FACETS, SORTS, TaxonFilter
from catalog.taxa.forms import NameForm

COLUMNS = [
    Column("name", lambda t: t.name),
    Column("author", lambda t: t.author),
    Column("rank", lambda t: t.rank),
    Column("common_name", lambda t: t.common_name),
    Column("family", lambda t: t.family),
    Column("order", lambda t: t.order),
    Column("class", lambda t: t.class_name),
    Column("phylum", lambda t: t.phylum),
    Column("kingdom", lambda t: t.kingdom),
]


@page("record.read")
def taxa(request: Asked) -> HttpResponse:
    """The names that determinations, excavations and permits use."""
    listing = list_of(request, reads.taxa(request.actor), TaxonFilter, sorts=SORTS, sort="name", facets=FACETS)
    if kind := request.GET.get("format"):
        return export(listing.rows, COLUMNS, kind, "taxa")  # type: ignore[return-value]
    return render(request, "taxa/taxa.html", {"listing": listing, "rows": list(listing.page)})


@page("record.read")
def taxon(request: Asked, pk: int) -> HttpResponse:
    """One name: what it is, what it belongs to, where it leads."""
    found = reads.taxon_at(request.actor, pk)
    past = sorted(history_of(request.actor, found), key=lambda e: e.at, reverse=True)
    return render(request, "taxa/taxon.html", {"taxon": found, "past": past})


@page("taxon.write")
def new_taxon(request: Asked) -> HttpResponse:
    form = NameForm(request.POST or None, initial={"kingdom": "Animalia", "name": request.GET.get("name", "")[:200]})
    form.pencil = "name"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.add_name(request.actor, form.said())
            messages.success(request, f"{made.name} is on the list.")
            return redirect(made.href)
    return render(request, "taxa/new_taxon.html", {"form": form, "act": "Write the name"}, status=status_of(form))


@page("taxon.write")
def change_taxon(request: Asked, pk: int) -> HttpResponse:
    found = reads.taxon_at(request.actor, pk)
    form = NameForm(request.POST or None, initial=NameForm.begin(found))
    form.pencil = f"name-{pk}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.correct_name(request.actor, pk, form.said(), expected_version=form.cleaned_data["version"])
            return redirect(found.href)
    facts = {"form": form, "taxon": found, "act": "Write the corrected name"}
    return render(request, "taxa/change_taxon.html", facts, status=status_of(form))
