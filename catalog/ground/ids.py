"""Public identifiers: UUID version 7 (RFC 9562 5.7), in order of their making within one process."""

from __future__ import annotations

import secrets
import threading
import time
import uuid

_lock = threading.Lock()
_last = 0


def uuid7(now_ms: int | None = None) -> uuid.UUID:
    """48 bits of milliseconds, then 74 random bits; never smaller than the one made before in this process."""
    global _last
    ms = time.time_ns() // 1_000_000 if now_ms is None else now_ms
    rest = secrets.randbits(74)
    value = (ms & (1 << 48) - 1) << 80 | 7 << 76 | (rest >> 62) << 64 | 2 << 62 | rest & (1 << 62) - 1
    if now_ms is None:
        with _lock:
            _last = value = max(value, _last + 1)
    return uuid.UUID(int=value)
