"""What people say when something comes in, is decided on, numbered or goes out. Frozen; knows no Django.

People, places, casts and papers are handed on as the records themselves.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any


@dataclass(frozen=True)
class EntrySaid:
    """What came through the door. Only `what` and `how` have to be known. `place` is a place's code or name.

    `number` only where an older entry book gave one; `n_objects` makes that many objects of the one entry.
    """

    what: str
    how: str
    from_words: str = ""
    from_person: Any = None
    owner_words: str = ""
    owner: Any = None
    owner_is_us: bool = False
    parts: int | None = None
    parts_are: str = ""
    came_on: date | None = None
    place: str = ""
    former_numbers: tuple[str, ...] = ()
    photographs: tuple[Any, ...] = ()
    n_objects: int = 1
    excavation: Any = None
    taken_in_by: Any = None
    packing: str = ""
    back_by: date | None = None
    hazards: str = ""
    note: str = ""
    value: Decimal | None = None
    currency: str = ""
    number: str = ""
    made_at: datetime | None = None


@dataclass(frozen=True)
class ObjectSaid:
    """One more object of an entry."""

    what: str = ""
    parts: int | None = None
    former_numbers: tuple[str, ...] = ()


@dataclass(frozen=True)
class CaseSaid:
    """Why a cast should be kept, and how it is to become ours."""

    way: str
    case: str = ""
    from_words: str = ""
    from_person: Any = None
    conditions: str = ""
    search_record: str = ""


@dataclass(frozen=True)
class DecisionSaid:
    """`decision` is accepted or refused. `by` names who decided where that is not who writes it; then with the minute."""

    decision: str = "accepted"
    by: str = ""
    on: date | None = None
    minute: str = ""
    ground: str = ""
    witness: str = ""


@dataclass(frozen=True)
class TitleSaid:
    """A state of title, its day, and its paper: a document, an `upload` of it, or words about where it lies. `passed_on` is EDTF."""

    state: str
    on: date | None = None
    passed_on: str = ""
    document: Any = None
    paper_words: str = ""
    upload: Any = None
    ground: str = ""
    minute: str = ""
    said_by: Any = None


@dataclass(frozen=True)
class AccessionSaid:
    """The press that gives the number. What is empty is taken from what is there already."""

    title: str = ""
    title_paper: str = ""
    description: str = ""
    n_parts: int | None = None
    case: CaseSaid | None = None
    decided: DecisionSaid | None = None
    on: date | None = None
    by: Any = None
    clock_is_right: bool = False


@dataclass(frozen=True)
class TranscribedSaid:
    """A line of an older register, taken over as it stands there. `date` is EDTF; `cast` the object, where it is entered already.

    `gone`: the object is no longer here; the line stands alone.
    """

    number: str
    object: str
    book: str
    page: str = ""
    entry: str = ""
    date: str = ""
    title: str = "unknown"
    sure: str = "yes"
    parts: int | None = None
    scan: Any = None
    upload: Any = None
    read_by: Any = None
    cast: Any = None
    gone: bool = False


@dataclass(frozen=True)
class CorrectionSaid:
    """What is put right in one member of a line, and why. What it was is read from the register."""

    field: str
    is_: str
    ground: str


@dataclass(frozen=True)
class ExitSaid:
    """To whom it goes, why, on whose word."""

    reason: str
    to_words: str = ""
    to_person: Any = None
    authority: str = ""
    on: date | None = None
    carrier: str = ""
    packing: str = ""
    parts: int | None = None
    by: Any = None
