"""The API's frame: who may, which filters are known, versions, keys. A room's `api.py` says only what is its own."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from typing import Any

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django_filters.rest_framework import DjangoFilterBackend
from rest_framework import permissions, serializers, viewsets
from rest_framework.request import Request
from rest_framework.response import Response

from catalog.ground.ids import as_uid
from catalog.ground.many import reads_many
from catalog.ground.once import check_key, fingerprint, once
from catalog.ground.paging import Cursor
from catalog.ground.problems import refusal_with
from catalog.ground.refusal import NotFound, Reason
from catalog.ground.roles import Actor, demand
from catalog.ground.sight import visible_to

_FRAME = {"limit", "cursor", "sort", "fields", "count", "format"}


class MayAct(permissions.BasePermission):
    """The view's act for this method, by the one table."""

    def has_permission(self, request: Request, view: Any) -> bool:
        actor: Actor = request._request.actor  # type: ignore[attr-defined]
        act = view.act_of(request.method)
        if act != "public.read" and not actor.signed_in:
            raise refusal_with(401, "Say who you are: send `Authorization: Bearer` with a token of yours.")
        demand(actor, act)
        return True


class KnownFilters(DjangoFilterBackend):
    """Filters of the list's FilterSet; an unknown one is an error that lists the known."""

    def filter_queryset(self, request: Request, queryset: QuerySet[Any], view: Any) -> QuerySet[Any]:
        filterset_class = self.get_filterset_class(view, queryset)
        known = known_filters(filterset_class)
        for name in request.query_params:
            if name not in known | _FRAME:
                raise refusal_with(400, Reason(f"There is no filter {name!r} here.", name), known=sorted(known))
        for values in request.query_params.lists():
            if any("\x00" in v for v in values[1]):
                raise refusal_with(400, Reason("This text cannot be read.", values[0]))
        return super().filter_queryset(request, queryset, view)

    def get_filterset(self, request: Request, queryset: QuerySet[Any], view: Any) -> Any:
        chosen = super().get_filterset(request, queryset, view)
        return chosen if chosen is None else reads_many(chosen)

    def get_filterset_kwargs(self, request: Request, queryset: QuerySet[Any], view: Any) -> dict[str, Any]:
        kwargs = super().get_filterset_kwargs(request, queryset, view)
        return kwargs | {"request": request._request}


def known_filters(filterset_class: Any) -> set[str]:
    """Names a list can be narrowed by; a filter set that rooms above add to says so itself."""
    if filterset_class is None:
        return set()
    return filterset_class.known() if hasattr(filterset_class, "known") else set(filterset_class.base_filters)


class Strict(serializers.Serializer[Any]):
    """A serializer of what is said: an unknown member is an error, never dropped unseen."""

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, dict) and (unknown := set(data) - set(self.fields)):
            known = ", ".join(sorted(self.fields))
            raise serializers.ValidationError(
                {name: [f"There is no {name!r} here. Known are: {known}."] for name in sorted(unknown)}
            )
        return super().to_internal_value(data)


class Resource(viewsets.GenericViewSet[Any]):
    """A noun of the API: list and one, by number or by uid. Subclasses give `rows`, `show`, `acts`, `sorts`.

    `acts` maps GET/POST/PATCH to an act. `rows(reader)` is the queryset both list and one are taken from.
    """

    acts: dict[str, str] = {"GET": "record.read"}
    sorts: dict[str, str] = {"id": "id"}
    sort = "id"
    number_field = "number"
    lookup_field = "number"
    lookup_value_regex = "[^/]+"
    permission_classes = [MayAct]
    filter_backends = [KnownFilters]
    pagination_class = Cursor

    def act_of(self, method: str | None) -> str:
        method = "GET" if method in ("HEAD", "OPTIONS", None) else method
        if method not in self.acts:
            raise refusal_with(405, "This address is not asked that way.")
        return self.acts[method]

    @property
    def actor(self) -> Actor:
        return self.request._request.actor  # type: ignore[attr-defined, no-any-return]

    def rows(self, reader: Actor) -> QuerySet[Any]:
        raise NotImplementedError

    def get_queryset(self) -> QuerySet[Any]:
        return visible_to(self.actor, self.rows(self.actor))

    def show(self, record: Any) -> dict[str, Any]:
        """One record as this reader reads it."""
        return dict(self.get_serializer(record).data)

    def show_many(self, records: list[Any]) -> list[dict[str, Any]]:
        return [self.show(r) for r in records]

    def list(self, request: Request, **kwargs: Any) -> Response:
        page = self.paginate_queryset(self.filter_queryset(self.get_queryset()))
        items = self.show_many(list(page or []))
        if wanted := request.query_params.get("fields"):
            names = wanted.split(",")
            items = [{k: v for k, v in item.items() if k in names} for item in items]
        return self.get_paginated_response(items)

    def retrieve(self, request: Request, number: str, **kwargs: Any) -> HttpResponse:
        record = self.one(number)
        shown = self.show(record)
        response = Response(shown)
        response["ETag"] = tag = etag_of(record) if self.actor.staff else tag_of(shown)
        if request.headers.get("If-None-Match") == tag:
            return Response(status=304, headers={"ETag": tag})
        return response

    def one(self, number: str) -> Any:
        """The record this reader may see under this number or uid; NotFound otherwise."""
        record = self.find_one(self.get_queryset(), number)
        if record is None:
            raise NotFound("This is not one of ours, or not for your eyes.")
        return record

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        uid = as_uid(number)
        if uid:
            return rows.filter(uid=uid).first()
        return rows.filter(**{f"{self.number_field}__iexact": number}).first()

    def said(self, serializer_class: type[serializers.Serializer[Any]], partial: bool = False) -> dict[str, Any]:
        """What was sent, checked for form; 422 with a sentence a field otherwise."""
        serializer = serializer_class(data=self.request.data, partial=partial)
        serializer.is_valid(raise_exception=True)
        return dict(serializer.validated_data)

    def write_once(self, run: Callable[[], HttpResponse]) -> HttpResponse:
        """A POST under its Idempotency-Key: 400 without one."""
        key = self.request.headers.get("Idempotency-Key", "").strip('"')
        if not key:
            raise refusal_with(
                400,
                Reason("Send an Idempotency-Key of your own making, so that nothing happens twice.", "Idempotency-Key"),
            )
        return once(self.actor, check_key(key), self._print(), lambda: self._rendered(run()))

    def _print(self) -> str:
        request: HttpRequest = self.request._request
        if (self.request.content_type or "").startswith("multipart/"):
            self.request.data  # noqa: B018  read the form before it is fingerprinted
            return fingerprint(request)
        body = repr(self.request.data).encode()
        return hashlib.sha256(f"{request.method} {request.path}\n".encode() + body).hexdigest()

    def _rendered(self, response: Any) -> HttpResponse:
        if isinstance(response, Response):
            return self.finalize_response(self.request, response)
        return response  # type: ignore[no-any-return]

    def seen_version(self) -> int:
        """The version of If-Match: 428 without it, `*` refused."""
        said = self.request.headers.get("If-Match", "")
        if not said:
            raise refusal_with(428, "Send If-Match with the ETag you saw, so that nobody's work is overwritten unseen.")
        if not said.startswith('"v') or not said.strip('"')[1:].isdigit():
            raise refusal_with(412, 'Send If-Match as the ETag was given, such as "v7".')
        return int(said.strip('"')[1:])


def etag_of(record: Any) -> str:
    return f'"v{getattr(record, "version", 1)}"'


def tag_of(shown: dict[str, Any]) -> str:
    """For who is not of the staff: it changes only with what they read."""
    return f'"{hashlib.sha256(repr(shown).encode()).hexdigest()[:16]}"'


def made(record: dict[str, Any], location: str, tag: str = "") -> Response:
    """201 with where it is."""
    headers = {"Location": location} | ({"ETag": tag} if tag else {})
    return Response(record, status=201, headers=headers)
