"""The station's balance, and keys."""

from __future__ import annotations

import itertools
from datetime import date
from decimal import Decimal

from catalog.measurements import actions
from catalog.measurements.models import Instrument
from tests import builders

_keys = itertools.count(1)


def key() -> str:
    """A fresh Idempotency-Key."""
    return f"measurements-key-{next(_keys):06d}"


def bal_2() -> Instrument:
    """The bench balance, with all parts of its budget known."""
    parts = {"resolution": Decimal("0.1"), "repeatability": Decimal("0.1"), "linearity": Decimal("0.2")}
    made = actions.add_instrument(
        builders.saar(), "Bal-2", "balance", what="bench balance", most=Decimal(6000), **parts
    )
    certificate = {"u": Decimal("0.1"), "k": Decimal(2), "due_on": date(2028, 1, 1)}
    actions.calibrate(builders.saar(), made, date(2026, 1, 5), **certificate)
    return made
