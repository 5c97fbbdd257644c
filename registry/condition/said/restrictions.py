"""What people say when they bar a deed. Frozen; knows no Django."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any


@dataclass(frozen=True)
class RestrictionSaid:
    """Which deed is barred, why, from when to when, on whose word, who may lift it."""

    deed: str
    why: str
    since: date | None = None
    until: date | None = None
    who_may_lift: str = ""
    said_by: Any = None
