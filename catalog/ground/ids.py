"""Public identifiers: UUID version 7 (RFC 9562, 5.7), in order of their making within one process.

Not a secret, and it shows when it was made: a link to something private needs a random token beside it.
"""

from __future__ import annotations

import os
import secrets
import threading
import time
import uuid

_TAIL_BITS = 74


class _Row:
    """The last millisecond and the 74 bits behind it; the next one within a millisecond counts on from them."""

    def __init__(self) -> None:
        self.lock = threading.Lock()
        self.ms, self.tail = -1, 0

    def next(self, asked_ms: int | None) -> uuid.UUID:
        with self.lock:
            # a clock that is set back does not set the order back
            ms = max(time.time_ns() // 1_000_000, self.ms) if asked_ms is None else asked_ms
            tail = self.tail + 1 + secrets.randbits(32) if ms == self.ms else _fresh()
            if tail >> _TAIL_BITS:
                ms, tail = ms + 1, _fresh()
            self.ms, self.tail = ms, tail
        return uuid.UUID(int=ms << 80 | 7 << 76 | (tail >> 62) << 64 | 2 << 62 | tail & (1 << 62) - 1)


def _fresh() -> int:
    """Random bits with the top one free, so that there is room to count on."""
    return secrets.randbits(_TAIL_BITS - 1)


_rows = {"clock": _Row(), "asked": _Row()}


def _begin_anew() -> None:
    """A forked process must not count on from its parent's last one."""
    _rows.update(clock=_Row(), asked=_Row())


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_begin_anew)


def uuid7(now_ms: int | None = None) -> uuid.UUID:
    """48 bits of milliseconds since 1970, then 74 random bits; each greater than the one before in this process.

    `now_ms` stands in for the clock: equal ones in a row give rising ids. ValueError outside 48 bits.
    """
    if now_ms is not None and not 0 <= now_ms < 1 << 48:
        raise ValueError(f"An instant has from 0 to 2^48 - 1 milliseconds, not {now_ms}.")
    return _rows["clock" if now_ms is None else "asked"].next(now_ms)


def as_uid(text: str) -> uuid.UUID | None:
    """A public identifier in its usual 36 signs; None for any other text."""
    try:
        return uuid.UUID(text) if len(text) == 36 else None
    except ValueError:
        return None
