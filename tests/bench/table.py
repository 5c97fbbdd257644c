"""How a measure is taken and shown."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Measure:
    """One workload: medians in milliseconds (or what `unit` says), and what is to be reached."""

    name: str
    size: str
    ours: float
    floor: float
    peer: float | None
    reach: str
    note: str = ""
    unit: str = "ms"


def median_ms(run: Callable[[], object], *, times: int = 7) -> float:
    """Median of several runs after one to warm up, in milliseconds."""
    run()
    spans = []
    for _ in range(times):
        begun = time.perf_counter()
        run()
        spans.append((time.perf_counter() - begun) * 1000)
    return statistics.median(spans)


def heads() -> str:
    return f"{'workload':<44}{'size':<7}{'ours':>10}{'floor':>10}{'peer':>10}{'x floor':>9}{'x peer':>8}  to reach"


def row(m: Measure) -> str:
    peer = f"{m.peer:.2f}" if m.peer else "-"
    by_peer = f"{m.ours / m.peer:.2f}" if m.peer else "-"
    text = f"{m.name:<44}{m.size:<7}{m.ours:>10.2f}{m.floor:>10.2f}{peer:>10}{m.ours / m.floor:>9.1f}{by_peer:>8}  {m.reach}"
    return text + (f"  ({m.note})" if m.note else "")
