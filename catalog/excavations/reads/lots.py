"""Material lots, their ledgers, and the pours that draw on them."""

from __future__ import annotations

from django.db.models import Count, QuerySet

from catalog.excavations.models import LotEntry, MaterialLot, Pour
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to


def lots(reader: Actor) -> QuerySet[MaterialLot]:
    """Lots, each with `n_pours`."""
    return visible_to(reader, MaterialLot.objects.annotate(n_pours=Count("pours")))


def lot_at(reader: Actor, code: str) -> MaterialLot:
    """The lot of this code, whatever the case. NotFound otherwise."""
    found = lots(reader).filter(code__iexact=code.strip()).first()
    if found is None:
        raise NotFound("This is not a lot of ours.")
    return found


def ledger(reader: Actor, lot: MaterialLot) -> QuerySet[LotEntry]:
    """Every line of a lot, newest first."""
    return visible_to(reader, lot.entries.select_related("by", "pour__excavation").order_by("-pk"))


def pours(reader: Actor) -> QuerySet[Pour]:
    return visible_to(reader, Pour.objects.select_related("excavation", "lot", "by"))
