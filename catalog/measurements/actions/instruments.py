"""Instruments are put on record, described, calibrated."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from catalog.ground.acting import action, locked, store
from catalog.ground.collection import today
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.measurements import rules
from catalog.measurements.models import Calibration, Instrument
from catalog.people.models import Person

FIGURES = ("resolution", "repeatability", "linearity", "most")
DESCRIBABLE = (*FIGURES, "what", "oiml_class", "note", "out_of_use_since")


@action("instrument.write")
def add_instrument(actor: Actor, code: str, kind: str, **said: Any) -> Instrument:
    """An instrument, by the short name that stands on it."""
    wrong = rules.hinders_instrument(code, taken=_taken(code), figures={n: said.get(n) for n in FIGURES})
    if kind not in dict(Instrument.KINDS):
        wrong.append(Reason("Choose what kind of instrument it is.", "kind", said=kind))
    refuse_if(wrong, Refusal)
    return store(Instrument(code=code, kind=kind, **{n: said[n] for n in DESCRIBABLE if n in said}))


def _taken(code: str) -> bool:
    return Instrument.objects.filter(code__iexact=code).exists()


@action("instrument.write")
def change_instrument(
    actor: Actor, pk: int, changes: Mapping[str, Any], *, expected_version: int | None = None
) -> Instrument:
    """What is said of an instrument; its name stays. What was measured with it before keeps the uncertainty it had."""
    instrument = locked(Instrument, expected_version, pk=pk)
    figures = {n: changes.get(n) for n in FIGURES}
    refuse_if(rules.hinders_instrument(instrument.code, taken=False, figures=figures), Refusal)
    for name in DESCRIBABLE:
        if name in changes:
            setattr(instrument, name, changes[name])
    return store(instrument)


@action("calibration.write")
def calibrate(
    actor: Actor,
    instrument: Instrument,
    on: date,
    *,
    due_on: date | None = None,
    passed: bool = True,
    u: Decimal | None = None,
    k: Decimal | None = None,
    by: Person | None = None,
    paper: str = "",
    note: str = "",
) -> Calibration:
    """A calibration, or with `passed` False what puts the instrument in doubt from that day on."""
    held = locked(Instrument, pk=instrument.pk)
    refuse_if(rules.hinders_calibration(on, due_on=due_on, today=today(), u=u, k=k), Refusal)
    facts = {"due_on": due_on, "passed": passed, "u": u, "k": k, "by": by, "paper": paper, "note": note}
    return store(Calibration(instrument=held, on=on, **facts))
