"""What every page knows: who reads it, whose collection it is, how much waits."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest

from catalog.ground.asks import todays_work
from catalog.ground.collection import collection


def context(request: HttpRequest) -> dict[str, Any]:
    """Template context of every page. `waiting` is counted when a template asks for it."""
    actor = getattr(request, "actor", None)
    return {
        "actor": actor,
        "collection": collection(),
        "waiting": lambda: len(todays_work(actor)) if actor and actor.signed_in else None,
        "light": bool(actor and actor.said.get("light")),
    }
