"""An inspection and an engineer's word, as said."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any


@dataclass(frozen=True)
class FoundSaid:
    """How one support was found: `sound`, `watch` or `fail`, the signs, a note."""

    number: str
    state: str
    signs: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class InspectionSaid:
    """Who looked, on which day, what makes them fit to judge, and every support. `made_at`: when a phone kept it."""

    found: tuple[FoundSaid, ...]
    competence: str
    on: date | None = None
    by: Any = None
    clearance: str = ""
    barrier: str = ""
    action: str = ""
    note: str = ""
    next_due: date | None = None
    made_at: datetime | None = None


@dataclass(frozen=True)
class WordSaid:
    """What a qualified engineer said, on which day, and where the paper is."""

    engineer: str
    qualification: str
    on: date | None
    says: str
    paper: str
    conditions: str = ""
