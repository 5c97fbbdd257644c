"""What a page reads about one record is read once: it is kept on the record, which lives no longer than the request."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

T = TypeVar("T")


def kept_on(record: Any, name: str, read: Callable[[], T]) -> T:
    """The value that `read` gave for this record under this name the first time. For pages; an act reads anew."""
    kept: dict[str, Any] = record.__dict__.setdefault("_kept", {})
    if name not in kept:
        kept[name] = read()
    return kept[name]  # type: ignore[no-any-return]
