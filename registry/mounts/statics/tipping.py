"""Will what stands freely tip: the ground point of its centre of mass against the edges of its feet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, hypot

from registry.mounts.statics.bodies import Point

# ours, no source: below this lean it is flagged, and a push of a passer-by must not tip it
LEAST_DEG, PUSH_N, PUSH_AT_MM = 10.0, 100.0, 1500.0


@dataclass(frozen=True)
class Tipping:
    """`margin_mm`: from the centre's ground point to the nearest edge; `lean_deg`: how far it may lean; `push_n`: what tips it."""

    margin_mm: float
    lean_deg: float
    push_n: float

    @property
    def falls(self) -> bool:
        return self.margin_mm <= 0

    @property
    def shaky(self) -> bool:
        return self.lean_deg < LEAST_DEG or self.push_n < PUSH_N


def tipping(weight_n: float, at: Point, height_mm: float, feet: Sequence[Point], push_at_mm: float) -> Tipping:
    """How safely it stands. ValueError with fewer than three feet, or no height."""
    if len(feet) < 3 or height_mm <= 0 or push_at_mm <= 0:
        raise ValueError("Tipping is reckoned for three feet or more and a height.")
    hull = _hull(feet)
    if len(hull) < 3:
        return Tipping(0.0, 0.0, 0.0)
    edges = zip(hull, hull[1:] + hull[:1], strict=True)
    margin = min(_inside(a, b, at) for a, b in edges)
    return Tipping(margin, degrees(atan2(margin, height_mm)), weight_n * margin / push_at_mm)


def _inside(a: Point, b: Point, p: Point) -> float:
    """Distance of p from the edge, positive on its left."""
    cross = (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
    return float(cross) / hypot(float(b[0] - a[0]), float(b[1] - a[1]))


def _hull(points: Sequence[Point]) -> list[Point]:
    """Corners counter-clockwise (Andrew's monotone chain)."""
    rows = sorted(set(points))

    def half(side: Sequence[Point]) -> list[Point]:
        kept: list[Point] = []
        for p in side:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], p) <= 0:
                kept.pop()
            kept.append(p)
        return kept[:-1]

    return half(rows) + half(rows[::-1]) if len(rows) > 2 else rows


def _turn(o: Point, a: Point, b: Point) -> float:
    return float((a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]))
