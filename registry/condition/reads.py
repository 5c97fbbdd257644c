"""Restrictions as pages, the API and other rooms read them."""

from __future__ import annotations

from datetime import date

from django.db.models import Q, QuerySet

from catalog.casts.models import Cast
from catalog.casts.subject import Subject
from catalog.ground.collection import today
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.condition.models import Restriction


def restrictions(reader: Actor) -> QuerySet[Restriction]:
    return visible_to(reader, Restriction.objects.select_related("cast", "piece__cast", "said_by"))


def standing_on(rows: QuerySet[Restriction], on: date) -> QuerySet[Restriction]:
    """Those in force on a day."""
    return rows.filter(Q(lifted_on__isnull=True), Q(until__isnull=True) | Q(until__gte=on), since__lte=on)


def barring(subject: Subject, deed: str) -> QuerySet[Restriction]:
    """What bars this deed for a cast or a piece: what is said of the cast holds for its pieces, and moving or lending a cast takes them along."""
    rows = Restriction.objects.select_related("cast", "piece__cast").filter(cast=subject.cast, deed=deed)
    if subject.piece:
        rows = rows.filter(Q(piece=subject.piece) | Q(piece__isnull=True))
    return standing_on(rows, today())


def restriction_at(reader: Actor, pk: int) -> Restriction:
    found = restrictions(reader).filter(pk=pk).first()
    if found is None:
        raise NotFound("There is no such restriction.")
    return found


def of_cast(reader: Actor, cast: Cast) -> list[Restriction]:
    return list(restrictions(reader).filter(cast=cast).order_by("-since", "-pk"))
