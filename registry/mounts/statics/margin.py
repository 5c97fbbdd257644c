"""How much of what a support may bear is used. Safety and handling factors are settings of ours, no source."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

Verdict = Literal["in order", "near", "over-loaded", "capacity unknown", "no verdict"]
SAFETY_STANDING, SAFETY_HANGING = Decimal(2), Decimal(5)


def use_of(load_n: float, capacity_n: float, safety: float, dynamic: float) -> float:
    """(load x dynamic) / (capacity / safety): 1 is all that it may bear."""
    return load_n * dynamic * safety / capacity_n


def verdict_of(use: float | None) -> Verdict:
    """`near` from eight tenths, `over-loaded` above the whole."""
    if use is None:
        return "capacity unknown"
    if use > 1:
        return "over-loaded"
    return "near" if use >= 0.8 else "in order"
