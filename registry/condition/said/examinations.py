"""What people say when they have looked at a cast's condition. Frozen; knows no Django."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any


@dataclass(frozen=True)
class MarkSaid:
    """Where on which photograph: as `catalog.media` takes it, pixels of the upright original."""

    photograph: Any
    shape: str
    position: str
    radius_px: int | None = None


@dataclass(frozen=True)
class CarriedSaid:
    """What became of a finding of the last examination: `as it was`, `changed`, `gone`. What is left open stays as it was."""

    finding_pk: int
    verdict: str
    size_mm: Decimal | None = None
    grade: str = ""
    note: str = ""
    mark: MarkSaid | None = None


@dataclass(frozen=True)
class NewSaid:
    """A finding seen for the first time. `size_mm`: its largest extent; `active`: it goes on now, fresh or loose."""

    kind: str
    where: str = ""
    size_mm: Decimal | None = None
    grade: str = ""
    origin: str = ""
    active: bool | None = None
    note: str = ""
    mark: MarkSaid | None = None


@dataclass(frozen=True)
class ExaminationSaid:
    """One look: why, when, by whom, how, what could not be seen, what was found, all in all, and when it is due again.

    `replaces`: the signed examination that this one puts right. `uploads`: photographs taken for it; a mark on `new` is on the first.
    """

    reason: str
    on: date | None = None
    by: Any = None
    plain: bool = False
    method: str = ""
    not_seen: str = ""
    grade: str = ""
    risk: str = ""
    recommendation: str = ""
    next_due: date | None = None
    note: str = ""
    picture: Any = None
    uploads: tuple[Any, ...] = ()
    replaces: Any = None
    carried: tuple[CarriedSaid, ...] = field(default_factory=tuple)
    new: tuple[NewSaid, ...] = field(default_factory=tuple)
