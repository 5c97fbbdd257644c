"""What visitors' pages answer when the house asks."""

from __future__ import annotations

from typing import Any

from django.db.models import Q, QuerySet
from django.http import HttpResponse
from django.shortcuts import render

from catalog.casts.models import Cast
from catalog.casts.subject import excavation_changed, panels, public_facts, visitor_page
from catalog.excavations.asks import excavation_placed, place_raised
from catalog.excavations.models import Excavation, Site
from catalog.ground import say
from catalog.ground.asks import Event, Panel, history_of
from catalog.ground.past import changes_of
from catalog.ground.roles import Actor, may
from catalog.ground.running import now_running
from catalog.media.asks import shown_to_visitors
from catalog.publishing import actions, reads
from catalog.publishing.public import for_everybody


@visitor_page.answer
def as_a_visitor_reads_it(request: Any, cast: Cast) -> list[HttpResponse]:
    page = reads.page_of(cast)
    if page is None or page.withdrawn_on or not cast.published_on:
        return []
    facts = reads.visitor_facts(cast, page)
    return [for_everybody(request, render(request, "publishing/visitor.html", facts))]


@public_facts.answer
def words_of_the_page(casts: list[Cast]) -> list[tuple[int, str, Any]]:
    return reads.public_values(casts)


@shown_to_visitors.answer
def pictures_of_pages() -> list[QuerySet[Any, Any]]:
    return [reads.pictures_shown()]


@panels.answer
def the_visitors_page(reader: Actor, cast: Cast) -> list[Panel]:
    """Under what may be done: whether visitors read of it, and the way to change that."""
    may_publish = may(reader, "cast.publish")
    page = reads.page_at_hand(cast) if cast.published_on or may_publish else None
    if page is None and not may_publish:
        return []
    facts = {"page": page, "published": cast.published_on, "may_publish": may_publish and not cast.closed_as}
    return [Panel("may", "publishing/panel.html", facts, 80)]


@history_of.answer
def published_and_taken_back(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Cast) or not may(reader, "history.read"):
        return []
    page = reads.page_at_hand(record)
    return [event for c in changes_of(page, most=30) for event in _event(c)] if page else []


def _event(change: Any) -> list[Event]:
    """The values of the place stay out of it: an earlier one may have been finer than may be shown now."""
    withdrawn = next((new for name, _, _, new in change.fields if name == "withdrawn_on"), None)
    if withdrawn:
        sentence = "Taken back from visitors."
    elif withdrawn == "" or change.first:
        sentence = "Published for visitors."
    else:
        names = [_WORDS[name] for name, *_ in change.fields if name in _WORDS]
        sentence = f"Visitor's page changed: {say.listed(names)}." if names else "Visitor's page shows the place anew."
    return [Event(change.at, sentence, "reg", change.who)]


_WORDS = {
    "title": "title",
    "story": "story",
    "seen_at": "where it can be seen",
    "picture": "picture",
    "place_words": "the place in words",
    "licence": "licence",
}


# a place is kept back more strictly, or is another one


@place_raised.answer
def after_a_category(site: Site) -> list[str]:
    return _anew(Q(excavation__site=site) | Q(original__excavation__site=site)) + _others(site)


@excavation_placed.answer
def after_a_place(excavation: Excavation) -> list[str]:
    return _anew(Q(excavation=excavation) | Q(original__excavation=excavation))


@excavation_changed.answer
def after_another_excavation(cast: Cast) -> list[str]:
    return _anew(Q(pk=cast.pk) | Q(original=cast))


def _anew(which: Q) -> list[str]:
    casts = Cast.objects.filter(which, public_page__isnull=False).order_by("pk")
    return [sentence for cast in casts for sentence in actions.refresh(_acting(), cast)]


def _others(site: Site) -> list[str]:
    """Pages of other casts that name a site which is kept back now."""
    rest = Cast.objects.filter(public_page__in=reads.standing_pages()).exclude(excavation__site=site)
    return [sentence for cast in rest.order_by("pk") for sentence in actions.refresh(_acting(), cast)]


def _acting() -> Actor:
    running = now_running.get()
    if running is None:
        raise AssertionError("a place changes within an act")
    return running.actor
