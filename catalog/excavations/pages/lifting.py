"""Pages of pours, lifts and bags."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.excavations import actions, reads
from catalog.excavations.cautions import AT_THE_DIG, at_the_pour
from catalog.excavations.filters import BAG_FACETS, BAG_SORTS, BagFilter
from catalog.excavations.forms import BagsForm, CloseBagForm, LiftForm, PourForm, TieForm
from catalog.excavations.pages.base import form_page
from catalog.excavations.pages.digs import PATH
from catalog.ground import say
from catalog.ground.asks import history_of
from catalog.ground.fields import Chosen
from catalog.ground.http import Asked, page, refusals_on
from catalog.ground.lists import Column, export, list_of

BAGS = [("/bags/", "Bags")]
COLUMNS = [
    Column("code", lambda b: b.code),
    Column("state", lambda b: b.state),
    Column("excavation", lambda b: b.lift.excavation.number if b.lift else ""),
    Column("lift", lambda b: b.lift.n if b.lift else None),
    Column("tied_at", lambda b: b.tied_at.isoformat() if b.tied_at else ""),
    Column("written_off_because", lambda b: b.ground),
]


@page("excavation.write")
def new_pour(request: Asked, number: str) -> HttpResponse:
    """One charge of material let into the ground."""
    dig = reads.excavation_at(request.actor, number)
    form = PourForm(request.POST or None, actor=request.actor)
    form.pencil = f"pour-{dig.number}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            pour = actions.record_pour(request.actor, dig.pk, form.said())
            drawn = f" {say.mass(pour.mass_g)} are drawn from {pour.lot}." if pour.lot and pour.mass_g else ""
            messages.success(request, f"Pour {pour.n} of {dig.number} is written.{drawn}")
            return redirect(dig.href)
    path = [*PATH, (dig.href, dig.number)]
    act = f"Write the pour into {dig.number}"
    facts = {"cautions": at_the_pour(), "cautions_first": True}
    return form_page(request, form, heading="What was poured?", act=act, path=path, **facts)  # type: ignore[arg-type]


@page("excavation.write")
def new_lift(request: Asked) -> HttpResponse:
    """What left the ground together; the page works without signal. `?of=` names the dig, `?bags=` the bags."""
    return _lift(request, request.GET.get("of", "")[:80])


@page("excavation.write")
def new_lift_of(request: Asked, number: str) -> HttpResponse:
    """The same, of one dig."""
    return _lift(request, reads.excavation_at(request.actor, number).number)


def _lift(request: Asked, number: str) -> HttpResponse:
    begun = {"excavation": Chosen(number, number) if number else None, "bags": request.GET.get("bags", "")[:400]}
    form = LiftForm(request.POST or None, initial=begun, actor=request.actor)
    form.pencil = f"lift-{number}" if number else "lift"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            lift = actions.record_lift(request.actor, form.of_dig.pk, form.said(), bags=form.codes())  # type: ignore[union-attr]
            messages.success(request, f"{say.capital(str(lift))} is written.")
            return redirect(f"/excavations/{lift.excavation.number}/")
    path = [*PATH, (f"/excavations/{number}/", number)] if number else PATH
    lead = (
        "The first scan of a bag's code ties it to this lift. Without signal it is kept on this phone and sent later."
    )
    heading, act = "What came up together?", "Write the lift"
    return form_page(request, form, heading=heading, act=act, path=path, lead=lead, cautions=AT_THE_DIG)


@page("record.read")
def bags(request: Asked) -> HttpResponse:
    """All bags: not used yet, tied, ended."""
    listing = list_of(request, reads.bags(request.actor), BagFilter, sorts=BAG_SORTS, sort="-code", facets=BAG_FACETS)
    if kind := request.GET.get("format"):
        return export(listing.rows, COLUMNS, kind, "bags")  # type: ignore[return-value]
    return render(request, "excavations/bags.html", {"listing": listing, "rows": list(listing.page)})


@page("record.read")
def bag(request: Asked, code: str) -> HttpResponse:
    """One bag: where it belongs and how it stands."""
    found = reads.bag_at(request.actor, code)
    past = sorted(history_of(request.actor, found), key=lambda e: e.at, reverse=True)
    return render(request, "excavations/bag.html", {"bag": found, "past": past})


@page("excavation.write")
def new_bags(request: Asked) -> HttpResponse:
    """Codes for bags that are not used yet; their labels are printed at once, in pairs."""
    form = BagsForm(request.POST or None, actor=request.actor)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.make_bags(request.actor, form.cleaned_data["n"])
            messages.success(request, f"{say.capital(say.plural(len(made), 'code'))} made: {made[0]} to {made[-1]}.")
            return redirect(f"/labels/?kind=bag&of={','.join(b.code for b in made)}")
    lead = "A code is printed before it is used; the first scan at the hole ties it to its lift."
    return form_page(
        request, form, heading="How many bags?", act="Make the codes and print their labels", path=BAGS, lead=lead
    )


@page("excavation.write")
def tie_bag(request: Asked, code: str) -> HttpResponse:
    """Ties a bag to a lift that is written already."""
    found = reads.bag_at(request.actor, code)
    form = TieForm(request.POST or None, actor=request.actor)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.tie_bag(request.actor, found.code, form.chosen())
            return redirect(found.href)
    path = [*BAGS, (found.href, found.code)]
    return form_page(
        request, form, heading=f"Where does {found.code} belong?", act=f"Tie {found.code} to it", path=path
    )


@page("excavation.write")
def close_bag(request: Asked, code: str) -> HttpResponse:
    """Every bag ends: its pieces are listed, or it is written off with the reason."""
    found = reads.bag_at(request.actor, code)
    form = CloseBagForm(request.POST or None, initial={"version": found.version}, actor=request.actor)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        with refusals_on(form):
            actions.close_bag(
                request.actor,
                found.code,
                typed["outcome"],
                typed["ground"],
                on=typed["closed_on"],
                expected_version=typed["version"],
            )
            return redirect(found.href)
    path = [*BAGS, (found.href, found.code)]
    return form_page(request, form, heading=f"How does {found.code} end?", act=f"Close {found.code}", path=path)
