"""A kept-back place as visitors see it: its cell drawn as a square, in true proportion, with its edges in degrees. Pure."""

from __future__ import annotations

from decimal import Decimal
from html import escape

from catalog.excavations.distance import distance_m
from catalog.excavations.generalised import Shown, cell_of

_SIDE = 120.0


def size_km(shown: Shown) -> tuple[float, float]:
    """Width (along its middle) and height of the cell in kilometres."""
    cell = cell_of(shown)
    width = distance_m(float(shown.lat), float(cell.west), float(shown.lat), float(cell.east)) / 1000
    height = distance_m(float(cell.south), float(shown.lon), float(cell.north), float(shown.lon)) / 1000
    return width, height


def cell_words(shown: Shown) -> str:
    """`6.5 by 11.1 km`; below a kilometre in metres."""
    width, height = size_km(shown)
    if height < 1:
        return f"{width * 1000:.0f} by {height * 1000:.0f} m"
    return f"{width:.1f} by {height:.1f} km" if height < 20 else f"{width:.0f} by {height:.0f} km"


def drawn(shown: Shown) -> str:
    """The cell as SVG, north up, each edge with its degree. It says where in it the place lies as little as the figures do."""
    cell, (width_km, height_km) = cell_of(shown), size_km(shown)
    longest = max(width_km, height_km)
    width, height = _SIDE * width_km / longest, _SIDE * height_km / longest
    left, top = 150 - width / 2, 90 - height / 2
    middle, right, bottom = left + width / 2, left + width, top + height
    title = escape(f"A field of {cell_words(shown)}, from {_ns(cell.south)} to {_ns(cell.north)}")
    return (
        f'<svg class="cell" viewBox="0 0 300 196" role="img" aria-label="{title}">'
        f'<rect class="cell-in" x="{left:.1f}" y="{top:.1f}" width="{width:.1f}" height="{height:.1f}"/>'
        f'<text class="m-t" x="{middle:.1f}" y="{top - 8:.1f}" text-anchor="middle">{_ns(cell.north)}</text>'
        f'<text class="m-t" x="{middle:.1f}" y="{bottom + 20:.1f}" text-anchor="middle">{_ns(cell.south)}</text>'
        f'<text class="m-t" x="{left - 8:.1f}" y="{90 + 5:.1f}" text-anchor="end">{_ew(cell.west)}</text>'
        f'<text class="m-t" x="{right + 8:.1f}" y="{90 + 5:.1f}">{_ew(cell.east)}</text>'
        f'<path class="ld" d="M284 40V14M278 22l6-9 6 9"/><text class="m-t" x="284" y="58" text-anchor="middle">N</text></svg>'
    )


def _ns(angle: Decimal) -> str:
    return f"{abs(angle).normalize():f}° {'S' if angle < 0 else 'N'}"


def _ew(angle: Decimal) -> str:
    return f"{abs(angle).normalize():f}° {'W' if angle < 0 else 'E'}"
