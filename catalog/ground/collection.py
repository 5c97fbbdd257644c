"""The collection's decisions, and its clock: the only `today` the rooms know."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils import timezone

from catalog.ground.models import Collection


def collection() -> Collection:
    """The one row; before the welcome is done an unsaved one with the defaults."""
    return Collection.objects.filter(pk=1).first() or Collection(pk=1, name="", code="")


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
