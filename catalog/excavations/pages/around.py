"""Pages of sites and permits."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db.models import Q
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.excavations import actions, reads
from catalog.excavations.asks import excavation_panels
from catalog.excavations.filters import (
    PERMIT_FACETS,
    PERMIT_SORTS,
    SITE_FACETS,
    SITE_SORTS,
    PermitFilter,
    SiteFilter,
)
from catalog.excavations.forms import CategoryForm, PermitForm, SiteForm
from catalog.excavations.pages.base import change_or_meet, form_page
from catalog.ground.asks import history_of
from catalog.ground.http import Asked, page, recently_proven, refusals_on
from catalog.ground.lists import Column, export, list_of

SITES, PERMITS = [("/sites/", "Sites")], [("/permits/", "Permits")]
SITE_COLUMNS = [
    Column("name", lambda s: s.name),
    Column("region", lambda s: s.region),
    Column("country", lambda s: s.country),
    Column("category", lambda s: s.category),
    Column("excavations", lambda s: s.n_digs),
]
PERMIT_COLUMNS = [
    Column("kind", lambda p: p.kind),
    Column("number", lambda p: p.number),
    Column("given_by", lambda p: str(p.given_by or "")),
    Column("holder", lambda p: str(p.holder or "")),
    Column("site", lambda p: str(p.site or "")),
    Column("from", lambda p: p.from_on.isoformat() if p.from_on else ""),
    Column("until", lambda p: p.until_on.isoformat() if p.until_on else ""),
    Column("most_nests", lambda p: p.most_nests),
    Column("nests", lambda p: p.n_nests),
]


@page("record.read")
def sites(request: Asked) -> HttpResponse:
    """Where one digs, and how strictly each is kept back."""
    listing = list_of(
        request, reads.sites(request.actor), SiteFilter, sorts=SITE_SORTS, sort="name", facets=SITE_FACETS
    )
    if kind := request.GET.get("format"):
        return export(listing.rows, SITE_COLUMNS, kind, "sites")  # type: ignore[return-value]
    return render(request, "excavations/sites.html", {"listing": listing, "rows": list(listing.page)})


@page("record.read")
def site(request: Asked, pk: int) -> HttpResponse:
    """One site: how it is kept back, what was dug there, by whose leave."""
    found = reads.site_at(request.actor, pk)
    digs = reads.excavations(request.actor).filter(site=found).order_by("-pk")
    papers = reads.permits(request.actor).filter(site=found).order_by("-until_on", "number")
    past = sorted(history_of(request.actor, found), key=lambda e: e.at, reverse=True)
    facts = {"site": found, "digs": list(digs[:50]), "papers": list(papers[:50]), "past": past}
    return render(request, "excavations/site.html", facts)


@page("site.write")
def new_site(request: Asked) -> HttpResponse:
    form = SiteForm(request.POST or None, actor=request.actor)
    form.pencil = "site"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            made = actions.name_site(request.actor, form.said())
            messages.success(request, f"{made.name} is written. Until somebody decides, it is {made.category_words}.")
            return redirect(made.href)
    return form_page(request, form, heading="Where does one dig?", act="Write the site", path=SITES)


@page("site.write")
def change_site(request: Asked, pk: int) -> HttpResponse:
    found = reads.site_at(request.actor, pk)
    form = SiteForm(request.POST or None, initial=SiteForm.begin(found), actor=request.actor)

    def write(said: dict[str, Any], version: int) -> object:
        return actions.change_site(request.actor, pk, said, expected_version=version)

    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return change_or_meet(request, form, write, title=found.name, back=found.href) or redirect(found.href)
    path = [*SITES, (found.href, found.name)]
    return form_page(request, form, heading=f"Change {found.name}", act="Write it down", path=path)


@page("site.category")
def site_category(request: Asked, pk: int) -> HttpResponse:
    """How strictly a site is kept back from now on: for every reader, in every room, at once."""
    found = reads.site_at(request.actor, pk)
    form = CategoryForm(request.POST or None, initial={"version": found.version}, actor=request.actor)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        with refusals_on(form):
            changed, followed = actions.raise_category(
                request.actor, pk, typed["category"], typed["ground"], expected_version=typed["version"]
            )
            messages.success(request, " ".join([f"{changed.name} is now {changed.category_words}.", *followed]))
            return redirect(found.href)
    path = [*SITES, (found.href, found.name)]
    return form_page(
        request,
        form,
        heading=f"How strictly is {found.name} kept back?",
        act="Keep it back so",
        path=path,
        template="excavations/category.html",
        site=found,
        proven=recently_proven(request),
    )


@page("record.read")
def permits(request: Asked) -> HttpResponse:
    """Permits and consents."""
    listing = list_of(
        request, reads.permits(request.actor), PermitFilter, sorts=PERMIT_SORTS, sort="-until", facets=PERMIT_FACETS
    )
    if kind := request.GET.get("format"):
        return export(listing.rows, PERMIT_COLUMNS, kind, "permits")  # type: ignore[return-value]
    return render(request, "excavations/permits.html", {"listing": listing, "rows": list(listing.page)})


@page("record.read")
def permit(request: Asked, pk: int) -> HttpResponse:
    """One paper: what it allows, what was dug under it, what lies outside it."""
    found = reads.permit_at(request.actor, pk)
    digs = reads.excavations(request.actor).filter(Q(permit=found) | Q(consent=found)).order_by("pk")
    past = sorted(history_of(request.actor, found), key=lambda e: e.at, reverse=True)
    rows = [{"dig": dig, "notes": reads.notes_on(dig)} for dig in digs[:200]]
    used = f"{found.n_nests} of {found.most_nests}"  # type: ignore[attr-defined]
    facts = {
        "permit": found,
        "rows": rows,
        "past": past,
        "used": used,
        "panels": excavation_panels(request.actor, found),
    }
    return render(request, "excavations/permit.html", facts)


@page("permit.write")
def new_permit(request: Asked) -> HttpResponse:
    form = PermitForm(request.POST or None, actor=request.actor)
    form.pencil = "permit"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return redirect(actions.add_permit(request.actor, form.said()).href)
    return form_page(request, form, heading="By whose leave?", act="Write the paper", path=PERMITS, law=True)


@page("permit.write")
def change_permit(request: Asked, pk: int) -> HttpResponse:
    found = reads.permit_at(request.actor, pk)
    form = PermitForm(request.POST or None, initial=PermitForm.begin(found), actor=request.actor)

    def write(said: dict[str, Any], version: int) -> object:
        return actions.change_permit(request.actor, pk, said, expected_version=version)

    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return change_or_meet(request, form, write, title=str(found), back=found.href) or redirect(found.href)
    path = [*PERMITS, (found.href, found.number)]
    return form_page(request, form, heading=f"Change {found}", act="Write it down", path=path, law=True)
