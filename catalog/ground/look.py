"""What every page knows: who reads it, whose collection it is, how much waits, the other ways into the house."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.http import HttpRequest

from catalog.ground.asks import todays_work
from catalog.ground.collection import collection
from catalog.ground.roles import VISITOR, Actor, may


@dataclass(frozen=True)
class Way:
    """One way into the house: its address, its word, the act that it asks for."""

    href: str
    word: str
    act: str


WAYS = [
    Way("/casts/", "Casts", "public.read"),
    Way("/entries/", "Entries", "record.read"),
    Way("/excavations/", "Excavations", "record.read"),
    Way("/places/", "Places", "place.read"),
    Way("/movements/", "Movements", "record.read"),
    Way("/mounts/", "Mounts", "record.read"),
    Way("/incidents/", "Incidents", "record.read"),
    Way("/register/", "Register", "register.read"),
    Way("/labels/", "Labels", "label.print"),
    Way("/material-lots/", "Material lots", "record.read"),
    Way("/taxa/", "Animals", "record.read"),
    Way("/people/", "People", "record.read"),
    Way("/settings/", "Settings", "log.read"),
    Way("/api/", "API", "public.read"),
    Way("/help/", "Help", "public.read"),
]


def ways(reader: Actor) -> list[Way]:
    """The other ways into the house that this reader may go."""
    return [way for way in WAYS if may(reader, way.act)]


def context(request: HttpRequest) -> dict[str, Any]:
    """Template context of every page. `waiting` is counted when a template asks for it."""
    actor = getattr(request, "actor", None)
    return {
        "actor": actor,
        "collection": collection(),
        "waiting": lambda: waiting_for(actor) if actor and actor.signed_in else None,
        "light": bool(actor and actor.said.get("light")),
        "ways": lambda: ways(actor or VISITOR),
    }


# how much waits, by account: (writes seen in this process, when, how much)
_waiting: dict[int, tuple[int, float, int]] = {}
_writes = 0


def waiting_for(reader: Actor) -> int:
    """How many things wait for this reader. Kept for `COUNT_KEPT_S`, and not longer than until something is written here."""
    account, now = reader.account_id or 0, time.monotonic()
    writes, at, n = _waiting.get(account, (-1, 0.0, 0))
    if writes == _writes and now - at < settings.COUNT_KEPT_S:
        return n
    n = len(todays_work(reader))
    _waiting[account] = (_writes, now, n)
    return n


def something_was_written() -> None:
    """What waits is counted anew."""
    global _writes
    _writes += 1
    if len(_waiting) > 1000:
        _waiting.clear()
