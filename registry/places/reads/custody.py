"""Who holds a thing, now and at any instant."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db.models import QuerySet

from catalog.casts.models import Cast
from catalog.ground.kept import kept_on
from registry.places.models import Custody

US = "us"


def _lines(casts: Iterable[Cast], at: datetime | None = None) -> QuerySet[Custody]:
    rows = Custody.objects.select_related("holder").filter(cast__in=list(casts), piece__isnull=True)
    return (rows.filter(at__lte=at) if at else rows).order_by("at", "pk")


def holders(casts: Iterable[Cast], at: datetime | None = None) -> dict[int, Custody]:
    """The newest line of custody of each cast, now or at an instant, in one query."""
    return {line.cast_id: line for line in _lines(casts, at)}


def holder_now(casts: Iterable[Cast]) -> dict[int, Custody]:
    """The newest line of custody of each cast, in one query."""
    return holders(casts)


def holder_as_of(cast: Cast, at: datetime) -> Custody | None:
    """Who held it at an instant."""
    return holders([cast], at).get(cast.pk)


def custody_of(cast: Cast) -> list[Custody]:
    """Every hand it was in, newest first; read once for the page of a cast."""
    rows = _lines([cast]).select_related("holder", "by", "written_by__person").reverse()
    return kept_on(cast, "custody", lambda: list(rows))


def holder_words(line: Custody) -> str:
    """`us`, the holder's name, or the words that were said of them."""
    if line.ours:
        return US
    return str(line.holder or line.holder_words or "somebody")
