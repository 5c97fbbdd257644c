"""A mount as SVG text: its supports where they stand, the load on each, the centre of mass. Pure.

From above (x to the right, y away from who looks); a bracket from the front (x to the right, z up).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

_WIDTH, _SIDE, _TOP, _TALLEST = 420, 76, 52, 300
_MOST_LABELLED = 8


@dataclass(frozen=True)
class Spot:
    """A support as it is drawn. `mark`: in order, near, over-loaded, failed, or unknown; `says`: what stands beside it."""

    name: str
    across_mm: float
    up_mm: float
    mark: str
    says: str = ""


MARKS = {
    "in order": '<circle cx="{x}" cy="{y}" r="9" class="ld"/><circle cx="{x}" cy="{y}" r="5" fill="currentColor"/>',
    "near": '<circle cx="{x}" cy="{y}" r="9" class="ld"/><path d="M{l} {y}a9 9 0 0 0 18 0z" fill="currentColor"/>',
    "over-loaded": '<path d="M{x} {t}L{r} {b}H{l}Z" fill="currentColor"/>',
    "failed": '<path d="M{l} {t}L{r} {b}M{r} {t}L{l} {b}" class="ld"/>',
    "unknown": '<circle cx="{x}" cy="{y}" r="9" class="ld dashed"/>',
}
WORDS = {
    "in order": "in order",
    "near": "near what it may bear",
    "over-loaded": "may bear too much",
    "failed": "failed",
    "unknown": "not known",
}


def drawn(spots: Sequence[Spot], centre: tuple[float, float] | None, title: str) -> str:
    """The drawing; empty without supports. What it shows is said in `title` and stands in the table beside it."""
    if not spots:
        return ""
    xs = [s.across_mm for s in spots] + ([centre[0]] if centre else [])
    ys = [s.up_mm for s in spots] + ([centre[1]] if centre else [])
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    scale = min((_WIDTH - 2 * _SIDE) / wide if wide else 1e9, _TALLEST / high if high else 1e9)
    if scale == 1e9:
        scale = 1.0
    tall = high * scale + 2 * _TOP
    left = (_WIDTH - wide * scale) / 2

    def at(across: float, up: float) -> tuple[float, float]:
        return left + (across - min(xs)) * scale, _TOP + (max(ys) - up) * scale

    frame = _outline([at(s.across_mm, s.up_mm) for s in spots])
    marks = "".join(_spot(s, *at(s.across_mm, s.up_mm), tall, len(spots)) for s in spots)
    middle = _centre(*at(*centre)) if centre else ""
    return (
        f'<svg class="mountdraw" viewBox="0 0 {_WIDTH} {tall:.0f}" role="img" aria-label="{escape(title)}">'
        f"{frame}{marks}{middle}</svg>"
    )


def _outline(points: list[tuple[float, float]]) -> str:
    """The rectangle round all supports, or the line through them."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (
        f'<path class="ld dashed" d="M{min(xs):.1f} {min(ys):.1f}H{max(xs):.1f}V{max(ys):.1f}H{min(xs):.1f}Z"/>'
        if len(points) > 1
        else ""
    )


def sign(mark: str, x: float = 12, y: float = 12) -> str:
    """One mark alone, for the drawing and for its key."""
    facts = {"x": x, "y": y, "l": x - 9, "r": x + 9, "t": y - 9, "b": y + 9}
    return MARKS[mark].format(**{n: f"{v:.1f}" for n, v in facts.items()})


def _spot(s: Spot, x: float, y: float, tall: float, n: int) -> str:
    above = y < tall / 2
    name_y, says_y = (y - 32, y - 15) if above else (y + 29, y + 46)
    says = f'<text x="{x:.1f}" y="{says_y:.1f}" text-anchor="middle" class="m-t">{escape(s.says)}</text>'
    return (
        f"{sign(s.mark, x, y)}"
        f'<text x="{x:.1f}" y="{name_y:.1f}" text-anchor="middle" class="m-n">{escape(s.name)}</text>'
        f"{says if n <= _MOST_LABELLED else ''}"
    )


def _centre(x: float, y: float) -> str:
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="7" class="ld"/><path class="ld" d="M{x - 12:.1f} {y:.1f}h24M{x:.1f} {y - 12:.1f}v24"/>'


def key_of(spots: Sequence[Spot], *, centre: bool) -> list[tuple[str, str]]:
    """(drawing, word) of what occurs in the drawing, and of nothing else."""
    occurring = [m for m in MARKS if any(s.mark == m for s in spots)]
    rows = [(f'<svg viewBox="0 0 24 24" aria-hidden="true">{sign(m)}</svg>', WORDS[m]) for m in occurring]
    if centre:
        rows.append((f'<svg viewBox="0 0 24 24" aria-hidden="true">{_centre(12, 12)}</svg>', "centre of mass"))
    return rows


_ALONE = {
    'class="ld dashed"': 'fill="none" stroke="#000" stroke-width="1.5" stroke-dasharray="5 4"',
    'class="ld"': 'fill="none" stroke="#000" stroke-width="2"',
    'class="m-n"': 'font-family="Atkinson Hyperlegible Mono" font-size="15" font-weight="600"',
    'class="m-t"': 'font-family="Atkinson Hyperlegible Next" font-size="13"',
    'fill="currentColor"': 'fill="#000"',
}


def drawn_alone(svg: str) -> str:
    """The same drawing as a file of its own, black on white, for papers."""
    for ours, plain in _ALONE.items():
        svg = svg.replace(ours, plain)
    size = re.search(r'viewBox="0 0 (\d+) (\d+)"', svg)
    wide, tall = size.groups() if size else ("420", "200")
    return svg.replace("<svg ", f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{tall}" ', 1)
