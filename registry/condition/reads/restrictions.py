"""Restrictions as pages, the API and other rooms read them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db.models import Q, QuerySet

from catalog.casts.models import Cast
from catalog.casts.subject import Subject
from catalog.ground.collection import today
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.condition.models import Restriction
from registry.places.reads import kept_on


def restrictions(reader: Actor) -> QuerySet[Restriction]:
    return visible_to(reader, Restriction.objects.select_related("cast", "piece__cast", "said_by"))


def standing_on(rows: QuerySet[Restriction], on: date) -> QuerySet[Restriction]:
    """Those in force on a day."""
    return rows.filter(Q(lifted_on__isnull=True), Q(until__isnull=True) | Q(until__gte=on), since__lte=on)


def barring_any(subjects: Iterable[Subject], deed: str) -> list[Restriction]:
    """What bars this deed for any of these things, in one query: by the cast, by the piece, of a whole cast by any piece."""
    asked = list(subjects)
    whole = {s.cast.pk for s in asked if s.piece is None}
    pieces = {s.piece.pk for s in asked if s.piece is not None}
    rows = Restriction.objects.select_related("cast", "piece__cast").filter(deed=deed)
    theirs = Q(cast__in=whole) | Q(piece__in=pieces) | Q(cast__in={s.cast.pk for s in asked}, piece__isnull=True)
    return list(standing_on(rows.filter(theirs), today()).order_by("cast__sort", "pk"))


def ended(reader: Actor) -> QuerySet[Restriction]:
    """Restrictions whose last day is over and that nobody has lifted."""
    return restrictions(reader).filter(lifted_on__isnull=True, until__lt=today()).order_by("until", "pk")


def restriction_at(reader: Actor, pk: int) -> Restriction:
    found = restrictions(reader).filter(pk=pk).first()
    if found is None:
        raise NotFound("There is no such restriction.")
    return found


def of_cast(reader: Actor, cast: Cast) -> list[Restriction]:
    """All that was ever barred for a cast and its pieces, newest first; read once for its page."""
    rows = restrictions(reader).filter(cast=cast).order_by("-since", "-pk")
    return kept_on(cast, "restrictions", lambda: list(rows))
