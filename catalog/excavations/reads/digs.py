"""Excavations and the papers by whose leave they were dug."""

from __future__ import annotations

from typing import Any, TypeVar

from django.db.models import (
    BooleanField,
    Count,
    ExpressionWrapper,
    IntegerField,
    Model,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Value,
)
from django.db.models.functions import Coalesce, ExtractYear

from catalog.excavations.models import Bag, Excavation, Lift, Permit, Pour
from catalog.excavations.rules import Dig, Leave, LeaveNote, permit_notes
from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to

M = TypeVar("M", bound=Model)
_ABSENT = "This is not one of ours, or not for your eyes."
_PLAIN = ExpressionWrapper(Q(permit_exception=""), BooleanField())


def visible(reader: Actor, kind: type[M]) -> QuerySet[M]:
    """The rows of a kind that this reader may know of, bare."""
    return visible_to(reader, kind._base_manager.all())


def excavations(reader: Actor) -> QuerySet[Excavation]:
    """Digs with what a row and a page show, counts and all, in a fixed number of queries."""
    rows = Excavation.objects.select_related("site", "taxon", "permit__site", "consent__site")
    counted = with_nth(rows).annotate(
        n_pours=_n(Pour.objects.filter(excavation=OuterRef("pk")), "excavation"),
        n_lifts=_n(Lift.objects.filter(excavation=OuterRef("pk")), "excavation"),
        n_bags=_n(Bag.objects.filter(lift__excavation=OuterRef("pk")), "lift__excavation"),
        n_open=_n(Bag.objects.filter(lift__excavation=OuterRef("pk"), outcome=""), "lift__excavation"),
        year=ExtractYear("dug_earliest"),
    )
    return visible_to(reader, counted.prefetch_related("people__person"))


def with_nth(rows: QuerySet[Any]) -> QuerySet[Any]:
    """`nth`: which nest under its permit. Those with a written exception count behind those without."""
    same = Excavation.objects.filter(permit=OuterRef("permit")).annotate(plain=_PLAIN).order_by()
    before = same.filter(Q(plain__gt=OuterRef("plain")) | Q(plain=OuterRef("plain"), pk__lte=OuterRef("pk")))
    return rows.annotate(plain=_PLAIN).annotate(nth=_n(before, "permit"))


def nth_of(dig: Excavation) -> int:
    """Which nest under its permit a written dig is."""
    return int(with_nth(Excavation.objects.filter(pk=dig.pk)).get().nth)


def _n(rows: QuerySet[Any], by: str) -> Coalesce:
    counted = rows.order_by().values(by).annotate(_n=Count("pk")).values("_n")
    return Coalesce(Subquery(counted, IntegerField()), Value(0))


def excavation_at(reader: Actor, number: str) -> Excavation:
    """The dig of this number, whatever the case. NotFound otherwise."""
    found = excavations(reader).filter(number__iexact=number.strip()).first()
    if found is None:
        raise NotFound(_ABSENT)
    return found


def excavation_meant(reader: Actor, words: str) -> Excavation | None:
    """The dig that typed words mean: its number, or the field book's where only one dig bears that."""
    rows = visible(reader, Excavation)
    said = words.strip()
    if found := rows.filter(number__iexact=said).first():
        return found
    by_field = list(rows.filter(field_number__iexact=said)[:2]) if said else []
    return by_field[0] if len(by_field) == 1 else None


def dig_meant(reader: Actor, words: str) -> Excavation:
    """The dig that was named in what was sent; a Refusal at the field `excavation` where there is none."""
    found = excavation_meant(reader, words)
    if found is None:
        raise Refusal(Reason("This is not an excavation of ours. Write it first.", "excavation", said=words))
    return found


def permits(reader: Actor) -> QuerySet[Permit]:
    """Permits and consents; `n_nests`: how many digs rest on each."""
    nests = _n(Excavation.objects.filter(permit=OuterRef("pk")), "permit")
    consented = _n(Excavation.objects.filter(consent=OuterRef("pk")), "consent")
    rows = Permit.objects.select_related("site", "given_by", "holder").annotate(n_nests=nests + consented)
    return visible_to(reader, rows)


def permit_at(reader: Actor, pk: int) -> Permit:
    found = permits(reader).filter(pk=pk).first()
    if found is None:
        raise NotFound(_ABSENT)
    return found


def leave_of(paper: Permit) -> Leave:
    """A permit as its rules read it."""
    kind = "permit" if paper.kind == "collecting permit" else paper.kind
    site = paper.site.name if paper.site else ""
    return Leave(f"{kind} {paper.number}", paper.from_on, paper.until_on, paper.most_nests, site)


def dig_of(dig: Excavation, *, nth: int, written: bool) -> Dig:
    site = dig.site.name if dig.site else ""
    return Dig(dig.dug_on, dig.dug_earliest, dig.dug_latest, site, nth, written)


def notes_on(dig: Excavation) -> list[LeaveNote]:
    """Where a dig that `excavations` read lies outside its permit and its consent."""
    nth = getattr(dig, "nth", 1)
    facts = dig_of(dig, nth=nth, written=True)
    return [note for paper in (dig.permit, dig.consent) if paper for note in permit_notes(leave_of(paper), facts)]
