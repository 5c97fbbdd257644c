"""The list of casts: its rows, counts and export columns, with what the rooms above add."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db.models import Count, IntegerField, OuterRef, QuerySet, Subquery, Value
from django.db.models.functions import Coalesce

from catalog.casts import reads
from catalog.casts.filters import CastFilter, facets
from catalog.casts.models import Cast, Piece
from catalog.casts.subject import ListColumn, columns
from catalog.ground.asks import Ask
from catalog.ground.lists import Column, Listing, list_of
from catalog.ground.roles import Actor

SORTS = {
    "number": "sort",
    "animal": "taxon__name",
    "material": "material",
    "mass": "mass_g",
    "pieces": "n_pieces",
    "changed": "changed_at",
}
_PUBLIC_SORTS = ("number", "animal", "material")
# small pictures beside rows: (casts) -> (key of the cast, address of a thumbnail); one query a room
thumbnails: Ask[[Actor, list[Cast]], tuple[int, str]] = Ask("which picture stands for these casts?")


def annotated(reader: Actor) -> QuerySet[Cast]:
    """Casts for a list, with pieces counted and what each room adds; one query whatever the rooms."""
    present = (
        Piece.objects.filter(cast=OuterRef("pk"), present=True)
        .order_by()
        .values("cast")
        .annotate(n=Count("pk"))
        .values("n")
    )
    rows: Any = reads.casts_for_list(reader).annotate(n_pieces=Coalesce(Subquery(present, IntegerField()), Value(0)))
    for column in columns():
        rows = column.annotate(rows, reader)
    return rows


def casts_listing(request: Any) -> Listing:
    """The rows the query chooses. A visitor's list has no counts of what is not shown."""
    reader: Actor = request.actor
    # for a visitor the order would tell what is not shown
    sorts = SORTS | {c.name: c.column for c in columns()} if reader.staff else {n: SORTS[n] for n in _PUBLIC_SORTS}
    return list_of(
        request,
        annotated(reader),
        CastFilter,
        sorts=sorts,
        sort="-number",
        facets=facets() if reader.staff else facets()[:2],
    )


def casts_facts(reader: Actor, listing: Listing) -> dict[str, Any]:
    """What the template needs: rows with their words, heads, filters."""
    rows = list(listing.page)
    pictures = dict(thumbnails(reader, rows))
    shown = [
        {"cast": row, "picture": pictures.get(row.pk), "more": [_cell(row, c) for c in columns() if reader.staff]}
        for row in rows
    ]
    return {"listing": listing, "rows": shown, "columns": columns() if reader.staff else [], "sorts": listing.sorts}


def _cell(row: Any, column: Any) -> dict[str, Any]:
    value = column.value(row) if column.value else getattr(row, column.column, "")
    return {"head": column.head, "name": column.name, "value": value}


def export_columns(reader: Actor) -> list[Column]:
    """Columns of the spreadsheet: heads are the names of the API."""
    from catalog.ground.collection import collection

    code = collection().code
    own = [
        Column("number", lambda c: f"{code} {c.number}" if c.year else c.number),
        Column("description", lambda c: c.description),
        Column("kind", lambda c: c.kind),
        Column("material", lambda c: c.material),
        Column("animal", lambda c: c.animal),
        Column("made_on", lambda c: c.made_on),
        Column("n_parts", lambda c: c.n_parts),
        Column("n_pieces", lambda c: c.n_pieces),
        Column("mass_g", lambda c: c.mass_g),
        Column("length_mm", lambda c: c.length_mm),
        Column("width_mm", lambda c: c.width_mm),
        Column("height_mm", lambda c: c.height_mm),
        Column("excavation", lambda c: c.excavation.number if c.excavation else ""),
    ]
    if not reader.staff:
        return own[:5]
    return own + [Column(c.name, _value_of(c)) for c in columns()]


def _value_of(column: ListColumn) -> Callable[[Any], Any]:
    return column.value or (lambda row: getattr(row, column.column))
