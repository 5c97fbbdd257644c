"""What people say when something happened to a thing. Frozen; knows no Django."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any


@dataclass(frozen=True)
class IncidentSaid:
    """What was noticed: on which day (None: now), by whom, when it happened (EDTF), how; what was done and who was told."""

    noticed_on: date | None = None
    noticed_by: Any = None
    happened_on: str = ""
    how: str = ""
    note: str = ""
    measures: str = ""
    told: str = ""
    searched: str = ""
    photographs: tuple[Any, ...] = ()


@dataclass(frozen=True)
class PartSaid:
    """One body that came of it; a mass that is None is weighed later."""

    mass_g: Decimal | None = None
    mass_u_g: Decimal | None = None
    mass_state: str = ""
    kind: str = ""
    note: str = ""


@dataclass(frozen=True)
class BodySaid:
    """One thing that broke. `one_body`: it is whole but for crumbs or a corner. No parts: they wait in the loose lot.

    `faces_to`: letter of a face -> which part carries it, counted from 1. `fits`: parts known to fit, counted from 1.
    """

    subject: Any
    parts: tuple[PartSaid, ...] = ()
    one_body: bool = False
    crumbs_g: Decimal | None = None
    n_crumbs: int | None = None
    lost_g: Decimal | None = None
    faces_to: Mapping[str, int] = field(default_factory=dict)
    fits: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class LooseSaid:
    """Fragments whose parent nobody can tell yet."""

    n: int
    mass_g: Decimal | None = None
    mass_state: str = ""
    note: str = ""


@dataclass(frozen=True)
class BreakageSaid:
    """What broke in one incident: bodies, joins that came apart, fragments that nobody can place."""

    incident: IncidentSaid
    bodies: tuple[BodySaid, ...] = ()
    joins: tuple[Any, ...] = ()
    loose: LooseSaid | None = None


@dataclass(frozen=True)
class FoundSaid:
    """Found again: where it is now, how it is known to be this one."""

    incident: IncidentSaid
    known_by: str = ""
    place: Any = None


@dataclass(frozen=True)
class DecisionSaid:
    """What the keeper decides of an incident, and what is learnt from it."""

    claim: bool | None = None
    treatment_wanted: bool | None = None
    lesson: str = ""
    witness: str = ""
