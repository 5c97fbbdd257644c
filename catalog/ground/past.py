"""What changed on a record, from what to what, by whom: read off its history rows. What is secret lies in other tables."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import models

from catalog.ground.asks import Event
from catalog.ground.records import Record

_FRAME = {"id", "uid", "version", "created_at", "created_by", "changed_at", "changed_by", "sort", "key"}


@dataclass(frozen=True)
class Change:
    """One save: `fields` are (name, label, old, new) as people read them; `row` names the history row."""

    row: int
    version: int
    at: datetime
    who: str
    act: str
    fields: tuple[tuple[str, str, str, str], ...]
    first: bool = False


def changes_of(record: Record, labels: Mapping[str, str] | None = None, *, most: int = 200) -> list[Change]:
    """The saves of a record, newest first. Three queries and one for each kind of record it points at."""
    manager: Any = record.history
    rows = list(manager.select_related("history_user__person").order_by("-version", "-history_id")[: most + 1])
    names = _names(record, rows)
    found = []
    for n, row in enumerate(rows[:most]):
        before = rows[n + 1] if n + 1 < len(rows) else None
        fields = tuple(_differences(type(record), before, row, labels or {}, names))
        if fields or before is None:
            who = str(row.history_user.person) if row.history_user else ""
            found.append(
                Change(
                    row.history_id,
                    row.version,
                    row.history_date,
                    who,
                    row.history_change_reason or "",
                    fields,
                    before is None,
                )
            )
    return found


def _fields(kind: type[models.Model]) -> Iterable[Any]:
    return (f for f in kind._meta.concrete_fields if f.name not in _FRAME)


def _names(record: models.Model, rows: list[Any]) -> dict[tuple[str, int], str]:
    """What the records are called that these rows point at; those at hand on the record are not read again."""
    found: dict[tuple[str, int], str] = {}
    for f in _fields(type(record)):
        if f.is_relation:
            keys = {getattr(r, f.attname) for r in rows} - {None}
            if f.is_cached(record) and (there := getattr(record, f.name)) is not None:
                found[f.name, there.pk] = str(there)
                keys.discard(there.pk)
            others = f.related_model._base_manager.in_bulk(keys) if keys else {}
            found |= {(f.name, key): str(other) for key, other in others.items()}
    return found


def _differences(
    kind: type[models.Model], before: Any, after: Any, labels: Mapping[str, str], names: dict[tuple[str, int], str]
) -> Iterable[tuple[str, str, str, str]]:
    for f in _fields(kind):
        old, new = (getattr(before, f.attname) if before else None), getattr(after, f.attname)
        if old != new and not (before is None and new in (None, "", False)):
            label = labels.get(f.name, str(f.verbose_name))
            yield f.name, label, _words(f, old, names), _words(f, new, names)


def _words(f: Any, value: Any, names: dict[tuple[str, int], str]) -> str:
    if value in (None, ""):
        return ""
    if f.is_relation:
        return names.get((f.name, value), "")
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(dict(f.flatchoices).get(value, value))


def as_events(changes: list[Change], what: str) -> list[Event]:
    """The same as layers of a core: `what` is the record in a word."""
    return [
        Event(
            at=c.at,
            sentence=f"{what} written." if c.first else f"{what} changed: {', '.join(f[1] for f in c.fields)}.",
            kind="exam",
            who=c.who,
            changes=tuple((label, old, new) for _, label, old, new in c.fields),
        )
        for c in changes
    ]


def state_at(record: Record, version: int) -> dict[str, Any]:
    """The values of a record as they stood in a version: {column: value}; empty when that version is not known."""
    manager: Any = record.history
    row = manager.filter(version=version).order_by("-history_id").first()
    return {f.attname: getattr(row, f.attname) for f in _fields(type(record))} if row else {}
