"""Lists for people: filters with counts, pages, sort by the heads, and the same rows as a spreadsheet."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

from django.core.paginator import Page, Paginator
from django.db.models import CharField, Count, F, Q, QuerySet, Value
from django.db.models.functions import Cast
from django.http import HttpRequest, HttpResponse, QueryDict, StreamingHttpResponse
from django_filters import FilterSet

from catalog.ground.many import reads_many
from catalog.ground.problems import refusal_with
from catalog.ground.refusal import Reason

PER_PAGE = 40


@dataclass(frozen=True)
class Facet:
    """Check boxes with counts: `name` of the filter, `column` of the queryset, a question, words for values."""

    name: str
    column: str
    question: str
    words: dict[str, str] = field(default_factory=dict)
    most: int = 12


@dataclass(frozen=True)
class Column:
    """One column of an export: its head (unit in the name) and how its value is read off a row."""

    head: str
    value: Callable[[Any], Any]


@dataclass(frozen=True)
class Choice:
    value: str
    words: str
    n: int
    chosen: bool


@dataclass
class Listing:
    """A page of rows with what is chosen, the counts, and the links to pages and sorts."""

    page: Page[Any]
    rows: QuerySet[Any]
    form: Any
    facets: list[tuple[Facet, list[Choice]]]
    sort: str
    sorts: dict[str, str]
    query: QueryDict
    total: int
    known: frozenset[str] = frozenset()

    def with_(self, **changes: Any) -> str:
        """This list's query with changes, as the text after `?`; None takes a name off."""
        query = self.query.copy()
        for name, value in changes.items():
            if value is None:
                query.pop(name, None)
            else:
                query[name] = str(value)
        return query.urlencode()

    @property
    def next_link(self) -> str:
        return self.with_(page=self.page.next_page_number()) if self.page.has_next() else ""

    @property
    def previous_link(self) -> str:
        return self.with_(page=self.page.previous_page_number()) if self.page.has_previous() else ""

    @property
    def next_href(self) -> str:
        return f"?{self.next_link}" if self.next_link else ""

    @property
    def previous_href(self) -> str:
        return f"?{self.previous_link}" if self.previous_link else ""

    @property
    def export_link(self) -> str:
        return self.with_(page=None, format=None)

    @property
    def chosen(self) -> list[tuple[str, str]]:
        """What is chosen, in words, each with the query without it."""
        off = []
        for facet, choices in self.facets:
            for choice in choices:
                if choice.chosen:
                    rest = [v for v in self.query.getlist(facet.name) if v != choice.value]
                    query = self.query.copy()
                    query.setlist(facet.name, rest)
                    query.pop("page", None)
                    off.append((choice.words, query.urlencode()))
        if words := self.query.get("q"):
            off.append((f"“{words}”", self.with_(q=None, page=None)))
        return off + [
            (f"{name.replace('_', ' ')}: {value}", self.with_(**{name: None}, page=None)) for name, value in self.others
        ]

    @property
    def others(self) -> list[tuple[str, str]]:
        """What else the query narrows by: filters that are no check box and no words, kept when the list is narrowed further."""
        plain = self.known - {"q"} - {facet.name for facet, _ in self.facets}
        return [(name, value) for name, values in self.query.lists() if name in plain for value in values]

    @property
    def heads(self) -> dict[str, dict[str, str]]:
        """For each sortable column: the link that sorts by it and `aria-sort`."""
        links = {}
        for name in self.sorts:
            down = self.sort == name
            aria = "ascending" if down else "descending" if self.sort == f"-{name}" else ""
            links[name] = {"href": "?" + self.with_(sort=f"-{name}" if down else name, page=None), "aria": aria}
        return links


def list_of(
    request: HttpRequest,
    rows: QuerySet[Any],
    filters: type[FilterSet],
    *,
    sorts: dict[str, str],
    sort: str,
    facets: Iterable[Facet] = (),
) -> Listing:
    """The rows that the query chooses, paged and counted. `sorts` is a closed map of names to columns."""
    query = _without_empty(request.GET)
    chosen = reads_many(filters(query, queryset=rows, request=request))
    kept = chosen.qs if chosen.is_valid() else rows.none()
    by = query.get("sort") or sort
    if by.lstrip("-") not in sorts:
        raise refusal_with(400, Reason(f"This list sorts by {', '.join(sorts)}.", "sort", said=by))
    column = sorts[by.lstrip("-")]
    order = F(column).desc(nulls_last=True) if by.startswith("-") else F(column).asc(nulls_last=True)
    pager = Paginator(kept.order_by(order, "-pk"), PER_PAGE)
    page = pager.get_page(query.get("page"))
    counted = _counts(rows, filters, query, request, list(facets))
    # what rooms above add to a list is for the staff
    wider = hasattr(filters, "known") and getattr(getattr(request, "actor", None), "staff", False)
    known = frozenset(filters.known() if wider else filters.base_filters)
    return Listing(page, kept.order_by(order, "-pk"), chosen.form, counted, by, sorts, query, pager.count, known)


def _without_empty(query: QueryDict) -> QueryDict:
    kept = query.copy()
    for name in list(kept):
        values = [v for v in kept.getlist(name) if v.strip()]
        if any("\x00" in v for v in values):
            raise refusal_with(400, Reason("This text cannot be read.", name))
        if values:
            kept.setlist(name, values)
        else:
            del kept[name]
    return kept


def _counts(
    rows: QuerySet[Any], filters: type[FilterSet], query: QueryDict, request: HttpRequest, facets: list[Facet]
) -> list[tuple[Facet, list[Choice]]]:
    """Counts for all facets in one query: each within what the other filters choose."""
    if not facets:
        return []
    each = []
    for facet in facets:
        others = query.copy()
        others.pop(facet.name, None)
        within = reads_many(filters(others, queryset=rows, request=request)).qs.order_by()
        each.append(
            within.annotate(_facet=Value(facet.name, CharField()), _value=Cast(facet.column, CharField()))
            .values_list("_facet", "_value")
            .annotate(_n=Count("pk", distinct=True))
        )
    found: dict[str, dict[str, int]] = {f.name: {} for f in facets}
    for name, value, n in each[0].union(*each[1:], all=True) if len(each) > 1 else each[0]:
        found[name]["" if value is None else value] = n
    return [(facet, _choices(facet, found[facet.name], query.getlist(facet.name))) for facet in facets]


def _choices(facet: Facet, found: dict[str, int], chosen: list[str]) -> list[Choice]:
    for value in chosen:
        found.setdefault(value, 0)
    ranked = sorted((v for v in found if v), key=lambda v: (v not in chosen, -found[v], v))[: facet.most]
    return [Choice(v, facet.words.get(v, v), found[v], v in chosen) for v in ranked]


def any_of(name: str, column: str) -> Callable[[QuerySet[Any], str, Any], QuerySet[Any]]:
    """A filter method: several values by repeated names, as check boxes send them, or by comma. A value may hold a comma itself."""

    def choose(rows: QuerySet[Any], _: str, value: Any) -> QuerySet[Any]:
        whole = value if isinstance(value, list) else [str(value)]
        values = {v.strip() for one in whole for v in (one, *one.split(","))} - {""}
        return rows.filter(Q(**{f"{column}__in": sorted(values)}))

    choose.takes_many = True  # type: ignore[attr-defined]
    return choose


def any_number_of(column: str, *, figures: int = 9) -> Callable[[QuerySet[Any], str, Any], QuerySet[Any]]:
    """The same for a column of whole numbers of at most so many figures; what is no such number, nothing is of."""

    def choose(rows: QuerySet[Any], _: str, value: Any) -> QuerySet[Any]:
        whole = value if isinstance(value, list) else [str(value)]
        said = {v.strip() for one in whole for v in one.split(",")}
        numbers = sorted(int(v) for v in said if v.isascii() and v.isdigit() and len(v) <= figures)
        return rows.filter(**{f"{column}__in": numbers})

    choose.takes_many = True  # type: ignore[attr-defined]
    return choose


def export(
    listing_rows: QuerySet[Any], columns: list[Column], kind: str, name: str
) -> HttpResponse | StreamingHttpResponse:
    """Exactly the chosen rows, all pages: `csv`, `xlsx` or `json`."""
    rows = listing_rows.iterator(chunk_size=500)
    if kind == "csv":
        return _named(StreamingHttpResponse(_csv(rows, columns), content_type="text/csv; charset=utf-8"), f"{name}.csv")
    if kind == "json":
        items = [{c.head: c.value(r) for c in columns} for r in rows]
        return _named(
            HttpResponse(json.dumps(items, ensure_ascii=False, default=str), content_type="application/json"),
            f"{name}.json",
        )
    if kind == "xlsx":
        return _named(HttpResponse(xlsx(rows, columns, name), content_type=_XLSX), f"{name}.xlsx")
    raise refusal_with(400, Reason("This list goes out as csv, xlsx or json.", "format", said=kind))


_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def _named(response: Any, name: str) -> Any:
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _csv(rows: Iterator[Any], columns: list[Column]) -> Iterator[str]:
    line = io.StringIO()
    writer = csv.writer(line, lineterminator="\r\n")

    def taken() -> str:
        text = line.getvalue()
        line.seek(0)
        line.truncate()
        return text

    writer.writerow([c.head for c in columns])
    yield "﻿" + taken()
    for row in rows:
        writer.writerow([plain_cell(c.value(row)) for c in columns])
        yield taken()


def plain_cell(value: Any) -> Any:
    """A cell that no spreadsheet runs: text that begins like a formula gets an apostrophe."""
    if isinstance(value, str):
        value = "".join(c for c in value if c >= " " or c in "\n\t")
        return f"'{value}" if value[:1] in ("=", "+", "-", "@", "\t") else value
    return "" if value is None else value


def xlsx(rows: Iterable[Any], columns: list[Column], sheet: str) -> bytes:
    """A spreadsheet of text and figures; nothing in it is a formula or a link."""
    import xlsxwriter

    out = io.BytesIO()
    options = {
        "constant_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    with xlsxwriter.Workbook(out, options) as book:
        page = book.add_worksheet(sheet[:31])
        for n, column in enumerate(columns):
            page.write_string(0, n, column.head)
        for y, row in enumerate(rows, 1):
            for x, column in enumerate(columns):
                _write_cell(page, y, x, column.value(row))
    return out.getvalue()


def _write_cell(page: Any, y: int, x: int, value: Any) -> None:
    from decimal import Decimal

    if isinstance(value, bool):
        page.write_string(y, x, "yes" if value else "no")
    elif isinstance(value, (int, float, Decimal)):
        page.write_number(y, x, value)
    elif value is not None and value != "":
        page.write_string(y, x, "".join(c for c in str(value) if c >= " " or c in "\n\t")[:32_000])
