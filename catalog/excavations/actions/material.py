"""Material lots and pours: what was drawn, what was poured, what came back. The balance is never below zero."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Max

from catalog.excavations import rules
from catalog.excavations.actions.filling import day_of, days_of, fill
from catalog.excavations.material_balance import (
    DRAWN,
    PUT_BACK,
    TAKEN_IN,
    change_g,
    hinders_moving,
    hinders_pour,
)
from catalog.excavations.models import Excavation, LotEntry, MaterialLot, Pour
from catalog.ground.acting import action, locked, store
from catalog.ground.asks import bearer_of
from catalog.ground.collection import today
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.people.models import Person

_LOT = ("material", "what", "from_whom", "opened_on", "note")
_POUR = (
    *("material", "lot", "mass_g", "water_g", "mixture", "temperature_c", "melt_minutes", "poured_on", "by"),
    *("entrance", "recovered_g", "note"),
)
_MILLIGRAM = Decimal("0.001")


@action("lot.write")
def open_lot(
    actor: Actor, code: str, said: Mapping[str, Any], *, taken_in_g: Decimal | None = None, by: Person | None = None
) -> MaterialLot:
    """A bag, can, ingot set or scrap source: `material`, and as far as known `what from_whom opened_on note`.

    `taken_in_g` is the first line of its ledger.
    """
    code = code.strip().upper()
    borne = next((b for b in bearer_of(actor, code)), None) if code else None
    refuse_if(rules.wrong_code(code, "the lot", borne_by=f"{borne.kind} {borne.number}" if borne else ""), Refusal)
    lot = MaterialLot(code=code)
    fill(lot, said, _LOT)
    if not lot.material:
        raise Refusal(Reason("Say of what it is.", "material"))
    refuse_if(rules.wrong_days("opened_on", lot.opened_on, today()), Refusal)
    store(lot)
    if taken_in_g is not None:
        move_material(actor, lot.pk, TAKEN_IN, taken_in_g, on=lot.opened_on, by=by)
        lot.refresh_from_db()
    return lot


@action("lot.write")
def move_material(
    actor: Actor,
    lot_pk: int,
    kind: str,
    mass_g: Decimal,
    *,
    on: date | None = None,
    by: Person | None = None,
    words: str = "",
    pour: Pour | None = None,
) -> LotEntry:
    """One line of a lot's ledger. `kind`: taken in, drawn, put back, lost (a mass above zero); corrected (bears its sign)."""
    lot = locked(MaterialLot, pk=lot_pk)
    on, mass_g = on or today(), mass_g.quantize(_MILLIGRAM)
    refuse_if(rules.wrong_days("on", on, today()), Refusal)
    refuse_if(hinders_moving(lot.code, kind, mass_g, there_g=lot.balance_g, words=words))
    lot.balance_g += change_g(kind, mass_g)
    store(lot)
    line = LotEntry(lot=lot, mass_g=change_g(kind, mass_g), balance_after_g=lot.balance_g, on=on, pour=pour, by=by)
    fill(line, {"kind": kind, "words": words}, ("kind", "words"))
    return store(line)


@action("excavation.write")
def record_pour(actor: Actor, excavation_pk: int, said: Mapping[str, Any]) -> Pour:
    """One charge of material let into the ground: any of `_POUR`. It draws on its lot, and what was recovered goes back."""
    dig = locked(Excavation, pk=excavation_pk)
    pour = Pour(excavation=dig, n=(dig.pours.aggregate(last=Max("n"))["last"] or 0) + 1)
    fill(pour, said, _POUR)
    if pour.lot and not pour.material:
        pour.material = pour.lot.material
    lot, of = (pour.lot.code, pour.lot.material) if pour.lot else ("", "")
    refuse_if(rules.hinders_material(pour.material, lot, of) + hinders_pour(pour.mass_g, pour.recovered_g), Refusal)
    days_of(pour.poured_on, "poured_on")
    store(pour)
    if pour.lot:
        _settle(actor, pour, pour.lot)
    return pour


def _settle(actor: Actor, pour: Pour, lot: MaterialLot) -> None:
    """What was poured leaves the lot, what was recovered goes back to it, in this act."""
    on = day_of(pour.poured_on, "poured_on")
    for kind, mass_g in ((DRAWN, pour.mass_g), (PUT_BACK, pour.recovered_g)):
        if mass_g:
            move_material(actor, lot.pk, kind, mass_g, on=on, by=pour.by, pour=pour)
