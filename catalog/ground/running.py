"""Which act runs, and who runs it: one context variable, set by `@action` and read by whatever is stored below it."""

from __future__ import annotations

from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any

from catalog.ground.roles import Actor


@dataclass
class Running:
    """The act that runs now: its name, who runs it, what it touched, what it told."""

    actor: Actor
    act: str
    touched: dict[tuple[type, int], Any] = field(default_factory=dict)
    told: list[dict[str, Any]] = field(default_factory=list)


now_running: ContextVar[Running | None] = ContextVar("now_running", default=None)


def acting_account_id() -> int | None:
    running = now_running.get()
    return running.actor.account_id if running else None
