"""Weighings of a thing, what stands, what waits, how it dries."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Exists, OuterRef, QuerySet
from django.utils import timezone

from catalog.casts import drying
from catalog.casts.subject import Subject
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.measurements.models import BalanceReading, Instrument, Measurement

# a reading that nobody took is not offered for ever: the thing is off the pan long since
WAITS = timedelta(minutes=10)


def weighings(reader: Actor) -> QuerySet[Measurement]:
    """Masses, each with what it is of; also those that another replaces."""
    return visible_to(reader, weighings_all())


def weighings_all() -> QuerySet[Measurement]:
    """The same whoever reads: for the answer to who wrote one."""
    return Measurement.objects.filter(quantity="mass").select_related(
        "cast", "piece__cast", "crumbs__cast", "crumbs__piece__cast", "instrument", "by", "replaces", "replaced_by"
    )


def weighings_of(reader: Actor, subject: Subject) -> QuerySet[Measurement]:
    """Weighings of one body, newest first; crumbs are not the body."""
    return weighings(reader).filter(**_of(subject)).order_by("-at", "-pk")


def _of(subject: Subject) -> dict[str, object]:
    return {"cast": subject.cast, "piece": subject.piece, "crumbs": None}


def newest_of(subject: Subject) -> Measurement | None:
    """The weighing whose mass stands."""
    rows = Measurement.objects.filter(quantity="mass", replaced_by__isnull=True, **_of(subject))
    return rows.order_by("-at", "-pk").first()


def newest_mass(subject: Subject) -> int | None:
    """Its key."""
    newest = newest_of(subject)
    return newest.pk if newest else None


def readings_waiting(instrument: Instrument, after: int = 0) -> list[BalanceReading]:
    """What this balance sent in the last minutes and no row took yet, oldest first; `after`: the key of the last one seen."""
    taken = Measurement.objects.filter(instrument=OuterRef("instrument"), key=OuterRef("key"))
    rows = BalanceReading.objects.filter(instrument=instrument, pk__gt=after, at__gte=timezone.now() - WAITS)
    return list(rows.exclude(Exists(taken)).order_by("pk")[:20])


# drying


@dataclass(frozen=True)
class Drying:
    """What the weighings of one body say of its water. `due` None: its mass is constant, or it was never weighed."""

    sentence: str
    state: str
    due: datetime | None
    curve: str = ""

    def is_due(self, now: datetime) -> bool:
        return self.due is not None and self.due <= now


def drying_of(rows: Iterable[Measurement]) -> Drying:
    """From the weighings of one body, in any order; replaced ones and those said to be constant otherwise are left to the rule."""
    seen = [_row(m) for m in rows if not _replaced(m)]
    if not seen:
        return Drying("Nobody has weighed it yet.", "", None)
    found = drying.constant_mass(seen)
    return Drying(found.sentence, found.state, drying.due_again(seen), _estimate(seen))


def _estimate(seen: Sequence[drying.Weighing]) -> str:
    curve = drying.drying_curve(seen) if len(seen) >= 3 else ""
    if isinstance(curve, str):
        return ""
    off = curve.u_dry_g if curve.u_dry_g is not None else curve.u_balance_g
    width = f", give or take {2 * off:.2g} g" if off else ""
    return f"About {curve.dry_g:.1f} g when it is dry{width}. Reckoned, not weighed."


def _row(m: Measurement) -> drying.Weighing:
    return drying.Weighing(m.at, float(m.value), float(m.u or 0))


def _replaced(m: Measurement) -> bool:
    return getattr(m, "replaced_by", None) is not None
