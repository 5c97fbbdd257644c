"""Pages of digs: the list, one of them, written, changed, placed."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.excavations import actions, reads
from catalog.excavations.answers import changes_of_dig
from catalog.excavations.cautions import AT_THE_DIG
from catalog.excavations.filters import DIG_FACETS, DIG_SORTS, DigFilter
from catalog.excavations.forms import DigForm, PlaceForm
from catalog.excavations.models import Excavation
from catalog.excavations.page import dig_facts, place_facts
from catalog.excavations.pages.base import change_or_meet, form_page
from catalog.excavations.placing import less_strict
from catalog.ground.asks import history_of
from catalog.ground.http import Asked, page, prove_again, recently_proven, refusals_on
from catalog.ground.lists import Column, export, list_of

PATH = [("/excavations/", "Excavations")]
COLUMNS = [
    Column("number", lambda d: d.number),
    Column("field_number", lambda d: d.field_number),
    Column("site", lambda d: d.place_words),
    Column("dug_on", lambda d: d.dug_on),
    Column("animal", lambda d: str(d.taxon or d.animal_words)),
    Column("depth_cm", lambda d: d.depth_cm),
    Column("latitude", lambda d: d.shown_lat),
    Column("longitude", lambda d: d.shown_lon),
    Column("within_m", lambda d: d.shown_within_m),
    Column("data_generalizations", lambda d: d.shown_how),
    Column("pours", lambda d: d.n_pours),
    Column("lifts", lambda d: d.n_lifts),
    Column("bags", lambda d: d.n_bags),
    Column("permit", lambda d: d.permit.number if d.permit else ""),
]


@page("record.read")
def excavations(request: Asked) -> HttpResponse:
    """All digs; the spreadsheet holds the places as all who work here read them."""
    rows = reads.excavations(request.actor)
    listing = list_of(request, rows, DigFilter, sorts=DIG_SORTS, sort="-number", facets=DIG_FACETS)
    if kind := request.GET.get("format"):
        return export(listing.rows, COLUMNS, kind, "excavations")  # type: ignore[return-value]
    return render(request, "excavations/excavations.html", {"listing": listing, "rows": list(listing.page)})


@page("record.read")
def excavation(request: Asked, number: str) -> HttpResponse:
    """One dig: by whose leave, where, who and when, what was poured, what came up, what became of it."""
    dig = reads.excavation_at(request.actor, number)
    return render(request, "excavations/excavation.html", dig_facts(request.actor, dig, request.path))


@page("excavation.write")
def new_excavation(request: Asked) -> HttpResponse:
    form = DigForm(request.POST or None, actor=request.actor)
    form.pencil = "excavation"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            dig = actions.record_excavation(request.actor, form.said(), people=form.there)
            messages.success(request, f"{dig.number} is written. Its place can be written now.")
            return redirect(dig.href)
    return form_page(
        request,
        form,
        heading="Which nest was dug?",
        lead="Write what is known now; the rest can follow on any day. The place is written on a page of its own.",
        act="Write the excavation",
        path=PATH,
        cautions=AT_THE_DIG,
        law=True,
    )


@page("excavation.write")
def change_excavation(request: Asked, number: str) -> HttpResponse:
    dig = reads.excavation_at(request.actor, number)
    form = DigForm(request.POST or None, initial=DigForm.begin(dig), actor=request.actor)
    form.pencil = f"excavation-{dig.number}"
    if request.method == "POST" and form.is_valid():
        _prove_where_lowered(request, dig, form)
        with refusals_on(form):
            both = change_or_meet(request, form, _writer(request, dig, form), title=dig.number, back=dig.href)
            return both or redirect(dig.href)
    path = [*PATH, (dig.href, dig.number)]
    heading, act = f"{dig.number}: what is known of it", f"Write it down for {dig.number}"
    return form_page(request, form, heading=heading, act=act, path=path, cautions=AT_THE_DIG, law=True)


def _writer(request: Asked, dig: Excavation, form: DigForm) -> Any:
    def write(said: dict[str, Any], version: int) -> object:
        return actions.change_excavation(request.actor, dig.pk, said, people=form.there, expected_version=version)

    return write


def _prove_where_lowered(request: Asked, dig: Excavation, form: DigForm) -> None:
    """Giving a placed dig to a site that is kept back less strictly is as grave as changing the site's category."""
    site = form.said()["site"]
    lowered = less_strict(dig.site.category if dig.site else None, site.category if site else None)
    if lowered and reads.is_placed(dig) and not recently_proven(request):
        prove_again(request)


@page("excavation.write")
def place_excavation(request: Asked, number: str) -> HttpResponse:
    """Where it lies: read back to who may know it, written once by who may not."""
    dig = reads.excavation_at(request.actor, number)
    facts = place_facts(request.actor, dig)
    if facts["placed"] and not facts["may_exact"]:
        return render(request, "excavations/place_kept.html", {"dig": dig, "place": facts})
    there = reads.exact_place(request.actor, dig, request.path)
    form = PlaceForm(request.POST or None, initial=PlaceForm.begin(there), actor=request.actor)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            _, doubts = actions.place_excavation(
                request.actor, dig.pk, form.said(), expected_version=form.cleaned_data["version"]
            )
            for doubt in doubts:
                messages.warning(request, doubt)
            messages.success(request, f"The place of {dig.number} is written.")
            return redirect(dig.href)
    path = [*PATH, (dig.href, dig.number)]
    return form_page(
        request, form, heading=f"{dig.number}: where it lies", act="Write the place", path=path, place=facts
    )


@page("history.read")
def history(request: Asked, number: str) -> HttpResponse:
    """What changed on a dig: old and new side by side. The exact place has a history of its own, for who may know it."""
    dig = reads.excavation_at(request.actor, number)
    past = sorted(history_of(request.actor, dig), key=lambda e: e.at, reverse=True)
    facts = {"dig": dig, "changes": changes_of_dig(dig), "past": past}
    return render(request, "excavations/history.html", facts)
