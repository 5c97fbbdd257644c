"""Rectangles put beside each other at their depth without lying over one another, and lines between them. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, log10
from typing import NamedTuple

GAP = 20.0
Point = tuple[float, float]


class Box(NamedTuple):
    """How large a rectangle is, and between which heights on the page it belongs."""

    width: float
    height: float
    top: float
    bottom: float


class Rect(NamedTuple):
    """A rectangle in its place."""

    x: float
    y: float
    width: float
    height: float


def placed(boxes: Sequence[Box], left: float) -> list[Rect]:
    """Each in turn as far left as it goes at its depth: within its interval, or around its middle where it is taller."""
    found: list[Rect] = []
    for box in boxes:
        heights = _heights(box)
        places = [(_free_x(found, left, y, box), y) for y in heights]
        x, y = min(places)
        found.append(Rect(x, y, box.width, box.height))
    return found


def _heights(box: Box) -> list[float]:
    room = box.bottom - box.top - box.height
    if room <= 0:
        return [max((box.top + box.bottom - box.height) / 2, 0.0)]
    steps = min(int(room // (box.height / 2)) + 1, 12)
    return [box.top + room * n / steps for n in range(steps + 1)]


def _free_x(found: Sequence[Rect], left: float, y: float, box: Box) -> float:
    """The leftmost x at which nothing stands in the way."""
    x = left
    for rect in sorted(r for r in found if r.y < y + box.height + GAP and y < r.y + r.height + GAP):
        if rect.x < x + box.width + GAP and x < rect.x + rect.width + GAP:
            x = rect.x + rect.width + GAP
    return x


def columns(boxes: Sequence[Box], left: float, top: float, height: float) -> list[Rect]:
    """One below the other, a new column where the height is used up."""
    found: list[Rect] = []
    x, y, widest = left, top, 0.0
    for box in boxes:
        if y > top and y + box.height > top + height:
            x, y, widest = x + widest + GAP, top, 0.0
        found.append(Rect(x, y, box.width, box.height))
        y += box.height + GAP
        widest = max(widest, box.width)
    return found


def segment(one: Rect, other: Rect) -> tuple[Point, Point]:
    """From edge to edge along the line of the middles, reaching a little into both, so that the ends are seen."""
    a, b = _middle(one), _middle(other)
    return _leaving(one, a, b), _leaving(other, b, a)


def _middle(rect: Rect) -> Point:
    return rect.x + rect.width / 2, rect.y + rect.height / 2


def _leaving(rect: Rect, at: Point, to: Point) -> Point:
    dx, dy = to[0] - at[0], to[1] - at[1]
    if dx == dy == 0:
        return at
    across = rect.width / 2 / abs(dx) if dx else float("inf")
    down = rect.height / 2 / abs(dy) if dy else float("inf")
    length = (dx * dx + dy * dy) ** 0.5
    share = max(min(across, down) - 6 / length, 0.0)
    return at[0] + dx * min(share, 0.5), at[1] + dy * min(share, 0.5)


def round_step(rough: float) -> float:
    """1, 2 or 5 times a power of ten, not below `rough`."""
    power = 10.0 ** floor(log10(rough))
    return next((m * power for m in (1, 2, 5) if m * power >= rough), 10 * power)
