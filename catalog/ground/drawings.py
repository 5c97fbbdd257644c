"""Small pictures made of numbers, as SVG text: the empty dig, a cast's outline by the form of its nest, the scale bar.

Colours come from the style sheet's classes; every word that goes in is escaped. A drawing with a `title` is spoken, one
without is decoration beside words that say the same.
"""

import re
from html import escape
from math import sin

Point = tuple[float, float]


def _svg(kind: str, box: str, inside: str, title: str) -> str:
    voice = f'role="img" aria-label="{escape(title)}"' if title else 'aria-hidden="true"'
    return f'<svg class="{kind}" viewBox="{box}" {voice}>{inside}</svg>'


def _line(points: list[Point]) -> str:
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def empty_dig(title: str = "An empty hole in the ground") -> str:
    """The hole before anything was poured into it: for lists that hold nothing yet."""
    ground = "M0 20c60-3 120 2 176 0M244 20c60 2 120-2 176 0"
    hole = "M176 20c8 20-6 30 6 44 8 10 46 12 56 0 10-14-2-26 6-44"
    return _svg("dig", "0 0 420 90", f'<path class="ld" d="{ground}"/><path class="ld dashed" d="{hole}"/>', title)


def _spiral() -> str:
    turns = [(28 + 11 * sin(step / 15 * 2.4 * 3.1416), 4 + step * 1.0) for step in range(47)]
    return f'<path class="s5" d="{_line(turns)}"/>'


def _branching() -> str:
    return '<path class="s4" d="M28 4v46"/><path class="s7" d="M18 18h10M28 26h11M15 35h13M28 43h9"/>'


def _bundle() -> str:
    depths = (26, 38, 30, 44, 28, 36)
    return f'<path class="s4" d="{"".join(f"M{8 + 8 * n} 4v{depth}" for n, depth in enumerate(depths))}"/>'


def _gallery() -> str:
    return (
        '<path class="s4" d="M5 17c9-5 15 3 23-1s15-1 23 1M15 15v14M40 16v17"/><path class="s8" d="M11 36h9M35 40h11"/>'
    )


def _chambers() -> str:
    rows = "".join(f"M{28 - half} {y}h{2 * half}" for y, half in ((15, 8), (26, 11), (38, 13), (49, 9)))
    return f'<path class="s4" d="M28 4v45"/><path class="s7" d="{rows}"/>'


OUTLINES = {
    "spiral": _spiral,
    "branching": _branching,
    "bundle of shafts": _bundle,
    "gallery": _gallery,
    "chambers on a shaft": _chambers,
}


def outline(nest_form: str, title: str = "") -> str:
    """A cast in outline, 56 x 56, for rows without a photograph. A form that is not known is drawn as a dashed shaft."""
    draw = OUTLINES.get(nest_form)
    inside = draw() if draw else '<path class="s4 dashed" d="M28 6v42M19 48h18"/>'
    return _svg("mini", "0 0 56 56", f'<g class="bone">{inside}</g>', title)


def outline_alone(nest_form: str) -> str:
    """The same outline as a drawing of its own, black on white, for papers; empty for a form that is not known."""
    if nest_form not in OUTLINES:
        return ""
    inside = re.sub(r'class="s([0-9])"', r'stroke-width="\1"', OUTLINES[nest_form]())
    box = 'xmlns="http://www.w3.org/2000/svg" viewBox="-22 -6 100 68" width="100" height="68"'
    return f'<svg {box}><g fill="none" stroke="#000" stroke-linecap="round" stroke-linejoin="round">{inside}</g></svg>'


def scale_bar(share: float, *, uncertainty: float = 0, title: str) -> str:
    """A share (0 to 1, or more) as the scale bar of a photograph, with a whisker of ± `uncertainty` (same unit as `share`).

    Beyond 1 the bar ends in an arrow; the sentence beside it has to say how much it is.
    """
    end = 200 * min(max(share, 0), 1)
    fields = "".join(_field(x, min(20.0, end - x), n) for n, x in enumerate(_steps(end)))
    mark = f'<path class="un thick" d="M{end:.1f} -3v18" vector-effect="non-scaling-stroke"/>'
    if share > 1:
        mark = '<path class="on" d="M190 -4 200 6 190 16z"/>'
    inside = (
        f'<rect class="off" width="200" height="12"/>{fields}'
        f'<rect class="un" x=".5" y=".5" width="199" height="11" vector-effect="non-scaling-stroke"/>{mark}'
        f"{_whisker(end, 200 * uncertainty)}"
    )
    return (
        f'<svg class="scalebar" viewBox="0 0 200 12" preserveAspectRatio="none" role="img" aria-label="{escape(title)}">'
        f"{inside}</svg>"
    )


def _steps(end: float) -> list[float]:
    return [20.0 * n for n in range(10) if 20.0 * n < end]


def _field(x: float, width: float, n: int) -> str:
    if n % 2 == 0:
        return f'<rect class="on" x="{x:.1f}" width="{width:.1f}" height="12"/>'
    stripe = f'class="on" x="{x:.1f}" width="{width:.1f}" height="3.2"'
    return f'<rect {stripe}/><rect {stripe} y="8.8"/>'


def _whisker(end: float, half: float) -> str:
    if half <= 0:
        return ""
    low, high = max(end - half, 0), min(end + half, 200)
    return f'<path class="un" d="M{low:.1f} -6H{high:.1f}M{low:.1f} -9v6M{high:.1f} -9v6" vector-effect="non-scaling-stroke"/>'
