"""Where a mark lies on a picture: a point with its ring, a line, an area. Pure; pixels of the upright original, from its upper left corner."""

from __future__ import annotations

import re
from dataclasses import dataclass

from catalog.ground.refusal import Reason
from catalog.ground.say import figure

KINDS = [("point", "a point"), ("line", "a line"), ("area", "an area")]
MOST_POINTS = 200
_FIGURE = re.compile(r"-?\d+(?:\.\d+)?")
_TYPED = re.compile(r"[-\d.,;x\s]*")


@dataclass(frozen=True)
class Shape:
    """`points` in pixels, across and down; `radius_px` is that of the ring round a point.

    An area of two points is the upright rectangle between two corners; of more, the polygon through them.
    """

    kind: str
    points: tuple[tuple[int, int], ...]
    radius_px: int | None = None

    @property
    def text(self) -> str:
        """`410,220 480,260`: as SVG writes points, and as it is kept."""
        return " ".join(f"{x},{y}" for x, y in self.points)

    @property
    def box(self) -> tuple[int, int, int, int]:
        """Left, top, width and height of what it covers, in pixels; the ring counts."""
        ring = self.radius_px or 0
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return min(xs) - ring, min(ys) - ring, max(xs) - min(xs) + 2 * ring, max(ys) - min(ys) + 2 * ring

    @property
    def is_rectangle(self) -> bool:
        return self.kind == "area" and len(self.points) == 2


def usual_ring_px(width: int, height: int) -> int:
    """The ring of a point for which nobody said how large it is: a thirtieth of the longer side."""
    return max(max(width, height) // 30, 1)


def read_shape(kind: str, typed: str, radius_px: int | None, *, width: int, height: int) -> Shape:
    """The shape that `wrong_in_shape` finds nothing against."""
    if kind == "point":
        return Shape(kind, _points(typed), radius_px or usual_ring_px(width, height))
    return Shape(kind, _points(typed))


def _points(typed: str) -> tuple[tuple[int, int], ...]:
    figures = [round(float(n)) for n in _FIGURE.findall(typed)]
    return tuple(zip(figures[::2], figures[1::2], strict=True))


def wrong_in_shape(
    kind: str, typed: str, radius_px: int | None, *, width: int | None, height: int | None
) -> list[Reason]:
    """Reasons against a mark as it was drawn or typed. `width`, `height` None: nobody knows how large the picture is."""
    if kind not in dict(KINDS):
        return [Reason("A mark is a point, a line or an area.", "shape", said=kind[:40])]
    if not width or not height:
        return [Reason("How large this picture is is not known, so nothing can be marked on it.", "position")]
    if found := _wrong_in_words(kind, typed):
        return found
    if radius_px is not None and not 1 <= radius_px <= max(width, height):
        return [
            Reason(f"A ring is from 1 to {figure(max(width, height))} pixels wide.", "radius_px", said=str(radius_px))
        ]
    outside = [(x, y) for x, y in _points(typed) if not (0 <= x <= width and 0 <= y <= height)]
    return [
        Reason(
            f"{x}, {y} is outside the picture, which is {width} pixels wide and {height} high. Write a place inside it.",
            "position",
            said=f"{x},{y}",
        )
        for x, y in outside[:3]
    ]


def _wrong_in_words(kind: str, typed: str) -> list[Reason]:
    figures = _FIGURE.findall(typed)
    if not figures or not _TYPED.fullmatch(typed):
        return [
            Reason(
                "Write where it is on the picture: pixels across, then down, such as 410, 220.",
                "position",
                said=typed[:80],
            )
        ]
    if len(figures) % 2:
        return [
            Reason("A place is two figures, across and down. The last one stands alone.", "position", said=typed[:80])
        ]
    n = len(figures) // 2
    if n > MOST_POINTS:
        return [Reason(f"At most {MOST_POINTS} points to a mark; these are {n}.", "position")]
    few = {"point": (1, "one place"), "line": (2, "two places or more"), "area": (2, "two corners or more")}[kind]
    if n < few[0] or (kind == "point" and n > 1):
        return [Reason(f"{dict(KINDS)[kind].capitalize()} is {few[1]} on the picture.", "position", said=typed[:80])]
    points = _points(typed)
    if kind != "point" and len(set(points)) < 2:
        return [Reason("All its places are the same. Mark a point instead.", "position", said=typed[:80])]
    return []
