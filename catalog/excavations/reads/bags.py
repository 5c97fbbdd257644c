"""Lifts and the bags they came up in."""

from __future__ import annotations

from django.db.models import Case, CharField, F, QuerySet, Value, When

from catalog.excavations.models import Bag, Lift
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to

STATES = {"unused": "not used yet", "open": "tied, still to be inventoried"} | dict(Bag.OUTCOMES)


def bags(reader: Actor) -> QuerySet[Bag]:
    """Bags with their lift and its dig; `state`: unused, open, inventoried, written off."""
    return with_state(visible_to(reader, Bag.objects.select_related("lift__excavation", "tied_by")))


def with_state(rows: QuerySet[Bag]) -> QuerySet[Bag]:
    """`state` of each bag, a word of `STATES`."""
    state = Case(
        When(outcome__gt="", then=F("outcome")),
        When(lift__isnull=True, then=Value("unused")),
        default=Value("open"),
        output_field=CharField(),
    )
    return rows.annotate(state=state)


def bag_at(reader: Actor, code: str) -> Bag:
    """The bag of this code, whatever the case. NotFound otherwise."""
    found = bags(reader).filter(code__iexact=code.strip()).first()
    if found is None:
        raise NotFound("This is not a bag of ours.")
    return found


def lifts(reader: Actor) -> QuerySet[Lift]:
    """Lifts with their dig and their bags."""
    return visible_to(reader, Lift.objects.select_related("excavation__site", "by").prefetch_related("bags"))


def lift_at(reader: Actor, pk: int) -> Lift:
    found = lifts(reader).filter(pk=pk).first()
    if found is None:
        raise NotFound("There is no such lift.")
    return found


def open_lifts(reader: Actor, *, most: int = 60) -> list[Lift]:
    """The lifts written last, for tying a bag to one."""
    return list(visible_to(reader, Lift.objects.select_related("excavation")).order_by("-pk")[:most])
