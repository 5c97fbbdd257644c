"""Pages of material lots."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.excavations import actions, reads
from catalog.excavations.filters import LOT_FACETS, LOT_SORTS, LotFilter
from catalog.excavations.forms import LotForm, MassForm
from catalog.excavations.material_balance import CORRECTED
from catalog.excavations.pages.base import form_page
from catalog.ground import say
from catalog.ground.http import Asked, page, refusals_on
from catalog.ground.lists import Column, export, list_of

PATH = [("/material-lots/", "Material lots")]
COLUMNS = [
    Column("code", lambda lot: lot.code),
    Column("material", lambda lot: lot.material),
    Column("what", lambda lot: lot.what),
    Column("from", lambda lot: lot.from_whom),
    Column("opened_on", lambda lot: lot.opened_on.isoformat() if lot.opened_on else ""),
    Column("balance_g", lambda lot: lot.balance_g),
    Column("pours", lambda lot: lot.n_pours),
]
QUESTIONS = {
    "taken in": "What was taken in?",
    "put back": "What was put back?",
    "lost": "What was lost?",
    "corrected": "What is put right?",
}


@page("record.read")
def lots(request: Asked) -> HttpResponse:
    """What there is to pour."""
    listing = list_of(request, reads.lots(request.actor), LotFilter, sorts=LOT_SORTS, sort="code", facets=LOT_FACETS)
    if kind := request.GET.get("format"):
        return export(listing.rows, COLUMNS, kind, "material-lots")  # type: ignore[return-value]
    return render(request, "excavations/lots.html", {"listing": listing, "rows": list(listing.page)})


@page("record.read")
def lot(request: Asked, code: str) -> HttpResponse:
    """One lot: what is left, and its ledger."""
    found = reads.lot_at(request.actor, code)
    lines = list(reads.ledger(request.actor, found)[:200])
    return render(request, "excavations/lot.html", {"lot": found, "lines": lines})


@page("lot.write")
def new_lot(request: Asked) -> HttpResponse:
    form = LotForm(request.POST or None, actor=request.actor)
    form.pencil = "lot"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            taken_in_g = form.of("taken_in_g")["taken_in_g"]
            made = actions.open_lot(request.actor, form.cleaned_data["code"], form.said(), taken_in_g=taken_in_g)
            return redirect(made.href)
    return form_page(request, form, heading="What is there to pour?", act="Open the lot", path=PATH)


@page("lot.write")
def move_material(request: Asked, code: str, kind: str) -> HttpResponse:
    """Takes in, puts back, loses, corrects: one line of the ledger."""
    found = reads.lot_at(request.actor, code)
    form = MassForm(request.POST or None, actor=request.actor, signed=kind == CORRECTED)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            mass_g = form.of("mass_g")["mass_g"]
            line = actions.move_material(request.actor, found.pk, kind, mass_g, **form.said())
            messages.success(request, f"Written: {say.mass(line.balance_after_g)} are left in {found.code}.")
            return redirect(found.href)
    path = [*PATH, (found.href, found.code)]
    lead = f"There are {say.mass(found.balance_g)} in {found.code} now."
    return form_page(request, form, heading=QUESTIONS[kind], act=f"Write it for {found.code}", path=path, lead=lead)
