"""Sites, how strictly their places are kept back, and the papers by whose leave one digs there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from catalog.excavations.actions.filling import fill
from catalog.excavations.actions.placing import show_anew
from catalog.excavations.asks import place_raised
from catalog.excavations.models import Excavation, Permit, Site
from catalog.ground.acting import action, locked, store
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor

SITE_FIELDS = ("name", "region", "country", "note")
PERMIT_FIELDS = (
    *("kind", "number", "given_by", "holder", "site", "from_on", "until_on", "most_nests", "animals", "method"),
    *("duties", "where_it_lies", "note"),
)


@action("site.write")
def name_site(actor: Actor, said: Mapping[str, Any]) -> Site:
    """A new site: `name`, and as far as known `region country note`. Until somebody decides, it is of category 2."""
    return store(_filled(Site(), {"name": "", **said}))


@action("site.write")
def change_site(actor: Actor, pk: int, said: Mapping[str, Any], *, expected_version: int | None = None) -> Site:
    """Changes what is said of a site; how strictly it is kept back is an act of its own."""
    return store(_filled(locked(Site, expected_version, pk=pk), said))


def _filled(site: Site, said: Mapping[str, Any]) -> Site:
    fill(site, said, SITE_FIELDS)
    if not site.name:
        raise Refusal(Reason("Write what the site is called.", "name"))
    if Site.objects.filter(name__iexact=site.name).exclude(pk=site.pk).exists():
        raise Refusal(Reason("A site of this name is there already.", "name", said=site.name))
    site.country = site.country.upper()
    if site.country and not (site.country.isascii() and site.country.isalpha() and len(site.country) == 2):
        raise Refusal(Reason("A country is two letters, such as NL.", "country", said=site.country))
    return site


@action("site.category")
def raise_category(
    actor: Actor, pk: int, category: str, ground: str, *, expected_version: int | None = None
) -> tuple[Site, list[str]]:
    """How strictly a site's places are kept back from now on, with the reason: what others read of its digs is written anew.

    Raised or lowered, it is never done in passing. Returns the site and what followed elsewhere, in sentences.
    """
    site = locked(Site, expected_version, pk=pk)
    if category not in dict(Site.CATEGORIES):
        raise Refusal(Reason("Choose one of these ways to keep it back.", "category", said=category))
    if category == site.category:
        raise Refusal(Reason(f"It is kept back so already: {site.get_category_display()}.", "category"))
    fill(site, {"category": category, "category_ground": ground}, ("category", "category_ground"))
    if not site.category_ground:
        raise Refusal(Reason("Write why: it is read by whoever asks later.", "ground"))
    store(site)
    for key in list(Excavation.objects.filter(site=site).order_by("pk").values_list("pk", flat=True)):
        show_anew(locked(Excavation, pk=key))
    return site, place_raised(site)


@action("permit.write")
def add_permit(actor: Actor, said: Mapping[str, Any]) -> Permit:
    """A leave on paper: `kind number`, and as far as known the rest of `PERMIT_FIELDS`."""
    return store(_leave(Permit(), {"kind": "", "number": "", **said}))


@action("permit.write")
def change_permit(actor: Actor, pk: int, said: Mapping[str, Any], *, expected_version: int | None = None) -> Permit:
    """Puts right what is said of a permit; digs that lie outside it now say so."""
    return store(_leave(locked(Permit, expected_version, pk=pk), said))


def _leave(paper: Permit, said: Mapping[str, Any]) -> Permit:
    fill(paper, said, PERMIT_FIELDS)
    if not paper.kind:
        raise Refusal(Reason("Say which paper it is.", "kind"))
    if not paper.number:
        raise Refusal(Reason("Write its number, or the words it is known by: letter of 3 March 2025.", "number"))
    if paper.from_on and paper.until_on and paper.until_on < paper.from_on:
        raise Refusal(Reason("It would end before it begins. Write a later day.", "until_on"))
    return paper
