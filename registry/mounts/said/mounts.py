"""A mount, a support and what is put on, as said."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any


@dataclass(frozen=True)
class MountSaid:
    """`place`: the place that it is already; `stands_in`: where it stands, then it becomes a place; neither: a small one."""

    kind: str
    name: str
    place: Any = None
    stands_in: Any = None
    closes: Any = None
    holding: str = "standing"
    both_ways: bool = False
    overhead: bool = False
    stays: bool = False
    maker: str = ""
    made_on: str = ""
    touches: str = ""
    mass_g: Decimal | None = None
    x_mm: Decimal | None = None
    y_mm: Decimal | None = None
    z_mm: Decimal | None = None
    dynamic: Decimal = Decimal(1)
    plan: str = ""
    people_needed: int | None = None
    gear: str = ""
    inspect_months: int | None = None
    note: str = ""


@dataclass(frozen=True)
class SupportSaid:
    """A support by its number on the drawing; millimetres from one corner of the mount, capacity in newtons."""

    number: str
    x_mm: Decimal | None
    y_mm: Decimal | None
    z_mm: Decimal | None = None
    angle_deg: Decimal | None = None
    capacity_n: Decimal | None = None
    capacity_source: str = ""
    safety: Decimal | None = None
    fixed_into: str = ""
    assessed_by: str = ""
    note: str = ""


@dataclass(frozen=True)
class MountedSaid:
    """What is put on: since when, by whom, where its middle is."""

    on: date | None = None
    by: Any = None
    x_mm: Decimal | None = None
    y_mm: Decimal | None = None
    z_mm: Decimal | None = None
