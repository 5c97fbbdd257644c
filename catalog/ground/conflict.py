"""Two people change one record: what does not meet is merged, what does is shown to the second, who chooses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Model

from catalog.ground.past import state_at
from catalog.ground.records import Record


@dataclass
class Meeting:
    """`mine` is what the second person changed; `clashes` those of them that the first changed too, otherwise."""

    mine: dict[str, Any] = field(default_factory=dict)
    clashes: list[str] = field(default_factory=list)


def _plain(value: Any) -> Any:
    return value.pk if isinstance(value, Model) else value


def meeting(now: Record, seen_version: int, said: Mapping[str, Any]) -> Meeting:
    """What the one who saves second changed since the version they saw, and where that meets the first one's change."""
    seen = state_at(now, seen_version)
    found = Meeting()
    for name, value in said.items():
        column = now._meta.get_field(name).attname  # type: ignore[union-attr]
        then, here = seen.get(column), getattr(now, column)
        if _plain(value) == then or (value in ("", None) and then in ("", None)):
            continue
        found.mine[name] = value
        if here != then and here != _plain(value):
            found.clashes.append(name)
    return found


def settled(said: Mapping[str, Any], takes: Mapping[str, str]) -> dict[str, Any]:
    """What is written after the choice: fields for which `theirs` was taken are left out."""
    return {name: value for name, value in said.items() if takes.get(f"take_{name}") != "theirs"}
