"""Lists by cursor: signed, with the count and the link to the next page."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from django.core.signing import BadSignature, Signer
from django.db.models import CharField, DateField, DateTimeField, DecimalField, F, Field, IntegerField, QuerySet, Value
from django.db.models.functions import Coalesce
from rest_framework.exceptions import NotFound
from rest_framework.pagination import CursorPagination
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.problems import refusal_with
from catalog.ground.refusal import Reason

_COUNT_UP_TO = 10_000


# the key a list is read by, where the column itself may be empty: a cursor cannot stand on nothing
_PLACE = "place_in_list"
_LEAST: list[tuple[type[Field[Any, Any]], Any]] = [
    (DateTimeField, datetime(1, 1, 1, tzinfo=UTC)),
    (DateField, date(1, 1, 1)),
    (DecimalField, Decimal(-(10**9))),
    (IntegerField, -(10**9)),
    (CharField, ""),
]


def _with_a_place(rows: QuerySet[Any], key: str) -> QuerySet[Any]:
    """The same rows; where their key may be empty, with one beside it that is not: what is empty comes before the least."""
    if key in {f.name for f in rows.model._meta.concrete_fields if not f.null} or "__" in key:
        return rows
    kind = rows.annotate(**{_PLACE: F(key)}).query.annotations[_PLACE].output_field
    least = next(value for of, value in _LEAST if isinstance(kind, of))
    return rows.annotate(**{_PLACE: Coalesce(F(key), Value(least, output_field=kind))})


class Cursor(CursorPagination):
    """`limit` 1-200 (50), `cursor`, `sort` by the view's closed list, `count` exact up to 10 000."""

    page_size = 50
    page_size_query_param = "limit"
    max_page_size = 200

    def get_page_size(self, request: Request) -> int:
        said = request.query_params.get("limit", str(self.page_size))
        if not said.isascii() or not said.isdigit() or not 1 <= int(said) <= self.max_page_size:
            raise refusal_with(400, Reason("Write a limit from 1 to 200.", "limit", said=said))
        return int(said)

    def get_ordering(self, request: Request, queryset: QuerySet[Any], view: Any) -> tuple[str, ...]:
        known: dict[str, str] = view.sorts
        said = request.query_params.get("sort") or view.sort
        keys = []
        for name in said.split(","):
            bare = name.lstrip("-")
            if bare not in known or name.startswith("--"):
                raise refusal_with(
                    400, Reason(f"Sort by one of {', '.join(known)}.", "sort", said=said), known=list(known)
                )
            keys.append(("-" if name.startswith("-") else "") + known[bare])
        first = _PLACE if _PLACE in queryset.query.annotations else keys[0].lstrip("-")
        return (("-" if keys[0].startswith("-") else "") + first, *keys[1:], "id")

    def paginate_queryset(self, queryset: Any, request: Request, view: Any = None) -> Any:
        self.count = None
        exact = request.query_params.get("count") == "exact"
        counted = queryset.order_by().count() if exact else queryset.order_by()[: _COUNT_UP_TO + 1].count()
        self.count = counted if exact or counted <= _COUNT_UP_TO else None
        key = self.get_ordering(request, queryset, view)[0].lstrip("-")
        return super().paginate_queryset(_with_a_place(queryset, key), request, view)

    def _get_position_from_instance(self, instance: Any, ordering: Any) -> Any:
        """The first sort key of a row, also where it is a column of a related row."""
        value = instance
        for name in ordering[0].lstrip("-").split("__"):
            value = getattr(value, name)
        return None if value is None else str(value)

    def decode_cursor(self, request: Request) -> Any:
        signed = request.query_params.get("cursor")
        if signed is None:
            return None
        try:
            bare = Signer(salt="cursor").unsign(signed)
            plain: Any = request._request
            plain.GET = plain.GET.copy()
            plain.GET["cursor"] = bare
            return super().decode_cursor(request)
        except (BadSignature, NotFound, ValueError):
            raise refusal_with(
                400, Reason("This cursor is not one of ours. Begin again without it.", "cursor")
            ) from None

    def encode_cursor(self, cursor: Any) -> str:
        from urllib.parse import parse_qs, urlsplit

        from rest_framework.utils.urls import replace_query_param

        bare = super().encode_cursor(cursor)
        value = parse_qs(urlsplit(bare).query)["cursor"][0]
        return replace_query_param(str(self.base_url), "cursor", Signer(salt="cursor").sign(value))

    def get_paginated_response(self, data: Any) -> Response:
        following = self.get_next_link()
        response = Response({"items": data, "next": following, "count": self.count})
        if following:
            response["Link"] = f'<{following}>; rel="next"'
        return response

    def get_paginated_response_schema(self, schema: dict[str, Any]) -> dict[str, Any]:
        return {
            "type": "object",
            "required": ["items", "next", "count"],
            "properties": {
                "items": schema,
                "next": {"type": ["string", "null"], "format": "uri"},
                "count": {"type": ["integer", "null"]},
            },
        }
