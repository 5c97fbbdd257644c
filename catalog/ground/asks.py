"""A question that a lower room states once and upper rooms answer. The types stand where the question stands."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any, Generic, ParamSpec, TypeVar

P = ParamSpec("P")
A = TypeVar("A")


class Ask(Generic[P, A]):
    """Call it to hear every answer, in the order of the house; decorate a function with `.answer` to give one."""

    def __init__(self, question: str) -> None:
        self.question = question
        self._answers: list[Callable[P, Iterable[A]]] = []

    def answer(self, fn: Callable[P, Iterable[A]]) -> Callable[P, Iterable[A]]:
        self._answers.append(fn)
        return fn

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> list[A]:
        return [answer for fn in self._answers for answer in fn(*args, **kwargs)]


@dataclass(frozen=True)
class Duty:
    """One thing that waits: a sentence, where it is done, since when, how pressing (`late`, `waits`, `soon`)."""

    sentence: str
    href: str
    since: date | None = None
    weight: str = "waits"
    number: str = ""
    who: str = ""
    act: str = ""


@dataclass(frozen=True)
class Event:
    """One layer of a history: when it happened, what, by whom; `learnt_at` when it was written later."""

    at: datetime
    sentence: str
    kind: str
    who: str = ""
    href: str = ""
    learnt_at: datetime | None = None
    undo: str = ""
    changes: tuple[tuple[str, str, str], ...] = field(default_factory=tuple)


@dataclass(frozen=True)
class Panel:
    """One room's part of a page: which question it answers, its template, what the template needs."""

    question: str
    template: str
    facts: dict[str, Any]
    place: int = 50


@dataclass(frozen=True)
class Bearer:
    """What bears a number: its kind in a word, its number as written, a title, its address."""

    kind: str
    number: str
    title: str
    href: str
    pk: int = 0


# one namespace of numbers: cast, piece, entry, place, container, bag, excavation, lot
bearer_of: Ask[[Any, str], Bearer] = Ask("which thing of yours bears this number, as this reader sees it?")
todays_work: Ask[[Any], Duty] = Ask("what waits for this reader today?")
history_of: Ask[[Any, Any], Event] = Ask("what happened to this record?")
due_jobs: Ask[[date], tuple[str, Callable[[], None]]] = Ask("what is to be done by itself on this day?")
