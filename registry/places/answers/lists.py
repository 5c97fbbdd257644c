"""In the list of casts and in the API: where each is, who has it; now or as of an instant."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import Case, CharField, F, OuterRef, QuerySet, Subquery, Value, When
from django.db.models.functions import Coalesce, NullIf

from catalog.casts.models import Cast
from catalog.casts.subject import ListColumn, Subject, columns, facts
from catalog.ground.lists import Facet
from catalog.ground.roles import Actor
from registry.places import reads
from registry.places.models import Custody, Placement


def _with_place(rows: QuerySet[Cast], reader: Actor) -> QuerySet[Cast]:
    placed = Placement.objects.filter(cast=OuterRef("pk"), piece__isnull=True)
    return rows.annotate(
        place_code=Subquery(placed.values("place__code")[:1]), place_name=Subquery(placed.values("place__name")[:1])
    )


def _with_holder(rows: QuerySet[Cast], reader: Actor) -> QuerySet[Cast]:
    name = Coalesce(F("holder__name"), NullIf(F("holder_words"), Value("")), Value("somebody"))
    held = Case(When(ours=True, then=Value(reads.US)), default=name, output_field=CharField())
    lines = Custody.objects.filter(cast=OuterRef("pk"), piece__isnull=True).order_by("-at", "-pk")
    return rows.annotate(holder_now=Subquery(lines.annotate(held_by=held).values("held_by")[:1]))


def _in_places(rows: QuerySet[Any], values: list[str]) -> QuerySet[Any]:
    """Casts that stand in these places, or in whatever stands in them; a piece alone does not count."""
    keys = reads.within_codes(values)
    return rows.filter(pk__in=Placement.objects.filter(piece__isnull=True, place__in=keys).values("cast"))


@columns.answer
def place_and_holder() -> list[ListColumn]:
    """Where it is, who has it; and, for the query alone, `within` a place at any depth."""
    return [
        ListColumn(
            name="place",
            head="Place",
            annotate=_with_place,
            column="place_code",
            facet=Facet("place", "place_code", "Where?", reads.LazyNames()),
            value=lambda row: f"{row.place_name}, {row.place_code}" if row.place_code else "",
            narrows=("within", _in_places),
        ),
        ListColumn(
            name="holder",
            head="Who has it",
            annotate=_with_holder,
            column="holder_now",
            facet=Facet("holder", "holder_now", "Who has it?", {reads.US: "We have it"}),
            value=lambda row: {reads.US: "we"}.get(row.holder_now, row.holder_now or ""),
        ),
    ]


@facts.answer
def place_facts(reader: Actor, casts: list[Cast], at: datetime | None) -> list[tuple[int, str, Any]]:
    """`place` (its code), `place_path`, `home`, `back_on`; as of an instant the first two. Five queries, however many."""
    found: list[tuple[int, str, Any]] = []
    path = reads.where_is([Subject(c) for c in casts], at)
    for subject, places in path.items():
        found.append((subject.cast.pk, "place", places[-1].code if places else None))
        found.append((subject.cast.pk, "place_path", [p.code for p in places]))
    if at is None:
        rows = Placement.objects.filter(cast__in=casts, piece__isnull=True)
        belongs = {pk: (home, back) for pk, home, back in rows.values_list("cast_id", "home__code", "back_on")}
        for cast in casts:
            home, back_on = belongs.get(cast.pk, (None, None))
            found += [(cast.pk, "home", home), (cast.pk, "back_on", back_on)]
    return found


@facts.answer
def holder_facts(reader: Actor, casts: list[Cast], at: datetime | None) -> list[tuple[int, str, Any]]:
    """`holder` (`us`, or a name) and `holder_since`, now or as of an instant: one query."""
    lines = reads.holders(casts, at)
    found: list[tuple[int, str, Any]] = []
    for cast in casts:
        line = lines.get(cast.pk)
        found.append((cast.pk, "holder", reads.holder_words(line) if line else None))
        found.append((cast.pk, "holder_since", line.at if line else None))
    return found
