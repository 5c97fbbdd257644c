"""Marks over a photograph, as SVG in the pixels of the original: white casing, rust line, a numbered disc beside. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from catalog.ground import say
from catalog.media.shapes import Shape

_RUST = "#8E2A12"


@dataclass(frozen=True)
class Mark:
    """One mark to draw: the number in its disc and in the list beside; `state`: "", `before` (broken line), `gone` (thin, struck)."""

    number: str
    shape: Shape
    state: str = ""


def overlay(marks: Iterable[Mark], width: int, height: int, *, paper: bool = False) -> str:
    """An SVG of the picture's own size that lies over it. On paper lines grow with the picture; on a screen they stay as thin as they are."""
    drawn = list(marks)
    words = (
        f"Marks {say.listed([m.number for m in drawn])}"
        if len(drawn) > 1
        else f"Mark {drawn[0].number}"
        if drawn
        else ""
    )
    unit = max(width, height) / 620 if paper else 1.0
    body = "".join(_mark(m, width, height, unit, paper) for m in drawn)
    voice = f'role="img" aria-label="{escape(words)}"' if words else 'aria-hidden="true"'
    size = f' width="{width}" height="{height}"' if paper else ""
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}"{size} {voice}>{body}</svg>'


def _mark(mark: Mark, width: int, height: int, unit: float, paper: bool) -> str:
    thin = mark.state == "gone"
    dash = f' stroke-dasharray="{7 * unit:g} {5 * unit:g}"' if mark.state == "before" else ""
    hold = "" if paper else ' vector-effect="non-scaling-stroke"'
    casing = f'fill="none" stroke="#fff" stroke-width="{(2.2 if thin else 3.5) * unit:g}"{hold}'
    line = f'fill="none" stroke="{_RUST}" stroke-width="{(0.9 if thin else 1.8) * unit:g}"{dash}{hold}'
    outline = _outline(mark.shape)
    return f"<g><{outline} {casing}/><{outline} {line}/>{_disc(mark, width, height)}</g>"


def _outline(shape: Shape) -> str:
    (x, y), *_ = shape.points
    if shape.kind == "point":
        return f'circle cx="{x}" cy="{y}" r="{shape.radius_px}"'
    if shape.is_rectangle:
        left, top, wide, high = shape.box
        return f'rect x="{left}" y="{top}" width="{wide}" height="{high}"'
    return f'{"polyline" if shape.kind == "line" else "polygon"} points="{shape.text}" stroke-linejoin="round"'


def _disc(mark: Mark, width: int, height: int) -> str:
    """Above on the right of it, never over the edge."""
    r = max(width, height) / 32
    left, top, wide, _ = mark.shape.box
    x, y = min(max(left + wide + r * 0.5, r * 1.1), width - r * 1.1), min(max(top, r * 1.1), height - r * 1.1)
    struck = (
        f'<path d="M{x - r:.0f} {y:.0f}h{2 * r:.0f}" stroke="#fff" stroke-width="{r / 7:.1f}"/>'
        if mark.state == "gone"
        else ""
    )
    fill = _RUST if mark.state != "gone" else "#5A4F40"
    return (
        f'<circle cx="{x:.0f}" cy="{y:.0f}" r="{r:.0f}" fill="{fill}" stroke="#fff" stroke-width="{r / 9:.1f}"/>'
        f'<text x="{x:.0f}" y="{y + r * 0.42:.0f}" font-family="Atkinson Hyperlegible Mono, monospace" font-weight="600" '
        f'font-size="{r * 1.2:.0f}" text-anchor="middle" fill="#fff">{escape(mark.number)}</text>{struck}'
    )
