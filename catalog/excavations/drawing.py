"""Two drawings of a dig as SVG text: the ground with its lifts by depth, and a sketch of the site around its place. Pure.

Colours come from the style sheet's classes; every word that goes in is escaped. No map tiles, no request to outside.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from html import escape

from catalog.excavations.radius import degree_m

_WIDTH, _HEIGHT, _TOP = 330, 380, 8
_STEPS = (1, 2, 5)
_SIDE, _HALF = 196, 98


@dataclass(frozen=True)
class Drawn:
    """A lift as it is drawn: its name, its depths in cm below the level of the dig."""

    name: str
    from_cm: float | None
    to_cm: float | None


def ground(lifts: Sequence[Drawn], depth_cm: float | None) -> str:
    """The ground from the level down: depth to the left, one bracket a lift. Empty where no depth is known."""
    known = [lift for lift in lifts if lift.from_cm is not None and lift.to_cm is not None]
    deepest = max([depth_cm or 0.0, *(lift.to_cm or 0.0 for lift in known)])
    if deepest <= 0:
        return ""
    step = _round_step(deepest / 5)
    scale = (_HEIGHT - 2 * _TOP - 16) / deepest
    marks = "".join(_mark(_TOP + n * step * scale, n * step) for n in range(int(deepest / step) + 1))
    drawn = "".join(_bracket(lift, scale) for lift in known)
    floor = _TOP + (depth_cm or 0) * scale
    bottom = f'<path d="M46 {floor:.0f}h270" class="dr-l dashed"/>' if depth_cm else ""
    spoken = f"The ground to {_plain(deepest)} centimetres, with {len(known)} of its lifts by depth"
    return (
        f'<svg viewBox="0 0 {_WIDTH} {_HEIGHT}" role="img" aria-label="{escape(spoken)}">{_bands(scale, deepest)}'
        f'<path d="M46 {_TOP}V{_TOP + deepest * scale:.0f}" class="dr-l"/>{marks}{bottom}{drawn}</svg>'
    )


def _bands(scale: float, deepest: float) -> str:
    """Three bands for the eye; the soil is told in words beside it."""
    cuts = [0, round(_HEIGHT * 0.3), round(_HEIGHT * 0.65), _HEIGHT]
    fills = (("f-e1", "e-sand"), ("f-e2", "e-loam"), ("f-e4", "e-grav"))
    rows = zip(fills, cuts, cuts[1:], strict=False)
    return "".join(
        f'<rect y="{a}" width="{_WIDTH}" height="{b - a}" class="{kind}"/>'
        f'<rect y="{a}" width="{_WIDTH}" height="{b - a}" fill="url(#{hatch})"/>'
        for (kind, hatch), a, b in rows
    )


def _mark(y: float, cm: float) -> str:
    text = f'<text class="dr-n" x="34" y="{y + 4:.0f}" text-anchor="end">{_plain(cm)}</text>' if cm else ""
    return f'<path d="M40 {y:.0f}h12" class="dr-l"/>{text}'


def _bracket(lift: Drawn, scale: float) -> str:
    top, bottom = _TOP + (lift.from_cm or 0) * scale, _TOP + (lift.to_cm or 0) * scale
    middle = (top + bottom) / 2
    return (
        f'<rect x="64" y="{top + 2:.0f}" width="16" height="{max(bottom - top - 4, 2):.0f}" fill="none" class="dr-l"/>'
        f'<text class="dr-n" x="92" y="{middle + 4:.0f}">{escape(lift.name)}</text>'
    )


def _round_step(rough: float) -> float:
    """1, 2 or 5 times a power of ten, not below `rough`."""
    power = 10.0 ** math.floor(math.log10(rough))
    return next((m * power for m in _STEPS if m * power >= rough), 10 * power)


def _plain(value: float) -> str:
    return f"{Decimal(f'{value:.6g}'):f}"


@dataclass(frozen=True)
class Point:
    """A point in degrees on WGS84, its radius in metres, its name."""

    lat: float
    lon: float
    within_m: float
    name: str = ""


def sketch(here: Point, others: Sequence[Point] = ()) -> str:
    """North up: the point with its circle, the site's other digs, a bar for the scale. Far ones are left out of the frame."""
    around = [(here, 0.0, 0.0), *((p, *_offset_m(here, p)) for p in others)]
    near = [row for row in around if math.hypot(row[1], row[2]) <= _FARTHEST_M]
    reach = max([here.within_m * 1.6, *(math.hypot(x, y) * 1.15 for _, x, y in near), 20.0])
    scale = (_HALF - 14) / reach
    points = "".join(_dot(p, _HALF + x * scale, _HALF - y * scale, p is here) for p, x, y in reversed(near))
    circle = f'<circle cx="{_HALF}" cy="{_HALF}" r="{max(here.within_m * scale, 3):.1f}" class="dr-l dashed"/>'
    bar_m = _round_step(reach / 3)
    bar_m = bar_m if bar_m * scale < _SIDE - 40 else bar_m / 2
    spoken = f"Sketch of the site, north up: {here.name} within {_plain(here.within_m)} metres"
    if len(near) > 1:
        spoken += f", and {len(near) - 1} other digs"
    return (
        f'<svg viewBox="0 0 {_SIDE} {_SIDE}" role="img" aria-label="{escape(spoken)}">'
        f"{circle}{points}{_bar(bar_m, bar_m * scale)}"
        f'<path d="M{_SIDE - 22} 34V12m-5 8 5-8 5 8" class="dr-l"/>'
        f'<text class="dr-n" x="{_SIDE - 22}" y="48" text-anchor="middle">N</text></svg>'
    )


_FARTHEST_M = 50_000


def _offset_m(here: Point, other: Point) -> tuple[float, float]:
    """East and north of `here`, in metres; near enough for a sketch of one site."""
    north_m, east_m = degree_m(here.lat)
    east = (other.lon - here.lon + 180) % 360 - 180
    return east * east_m, (other.lat - here.lat) * north_m


def _dot(point: Point, x: float, y: float, is_here: bool) -> str:
    name = f'<text class="dr-n" x="{x + 9:.0f}" y="{y - 6:.0f}">{escape(point.name)}</text>' if is_here else ""
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{6 if is_here else 4}" class="pc{" here" if is_here else ""}"/>{name}'


def _bar(metres: float, width: float) -> str:
    words = f"{_plain(metres / 1000)} km" if metres >= 1000 else f"{_plain(metres)} m"
    return (
        f'<path d="M12 {_SIDE - 16}v6h{width:.0f}v-6" class="dr-l"/>'
        f'<text class="dr-n" x="14" y="{_SIDE - 20}">{words}</text>'
    )
