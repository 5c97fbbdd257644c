"""The collection's decisions, and its clock: the only `today` the rooms know."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils import timezone

from catalog.ground.models import Collection

# read once a request, not once a question; outside a request it is read each time
_read: ContextVar[dict[str, Collection] | None] = ContextVar("collection_read", default=None)


def collection() -> Collection:
    """The one row; before the welcome is done an unsaved one with the defaults."""
    kept = _read.get()
    if kept is None:
        return _row()
    if "row" not in kept:
        kept["row"] = _row()
    return copy.copy(kept["row"])


def _row() -> Collection:
    return Collection.objects.filter(pk=1).first() or Collection(pk=1, name="", code="")


@contextmanager
def read_once() -> Iterator[None]:
    """Within it the collection's row is read at most once, until it is written."""
    token = _read.set({})
    try:
        yield
    finally:
        _read.reset(token)


def read_anew() -> None:
    """The row was written: who asks next reads it again."""
    if (kept := _read.get()) is not None:
        kept.clear()


def zone() -> ZoneInfo:
    return ZoneInfo(collection().zone or "UTC")


def today() -> date:
    """The local day of the collection."""
    return timezone.now().astimezone(zone()).date()


def local(at: datetime) -> datetime:
    return at.astimezone(zone())


def with_code(number: str, code: str = "") -> str:
    """`TH 2016.1`: how papers, register lines and exports write a number."""
    code = code or collection().code
    return f"{code} {number}" if code else number
