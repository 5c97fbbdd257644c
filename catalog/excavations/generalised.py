"""A sensitive place as others may see it: the centre of a cell of the geographic grid, never noise. Pure.

Source of categories and wording: Chapman 2020, Current Best Practices for Generalizing Sensitive Species Occurrence
Data, GBIF Secretariat, doi 10.15468/doc-5jp4-5g10, table 7. Which cell, its centre and its radius: our rule.
Nothing here depends on where in its cell a place lies, or two answers laid side by side would betray it.
"""

import math
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from catalog.excavations.distance import distance_m

CELL_DEG = {1: Decimal("1"), 2: Decimal("0.1"), 3: Decimal("0.01"), 4: Decimal("0.001")}
CATEGORY_WHEN_UNKNOWN = 2
INFORMATION_WITHHELD = "Exact locality, elevation and field number withheld to protect the nest; may be asked for"


@dataclass(frozen=True)
class Shown:
    """A point to show, in degrees on WGS84, its radius in whole metres, and the side of its cell in degrees.

    `precision` None: shown as held, without a cell.
    """

    lat: Decimal
    lon: Decimal
    within_m: int
    precision: Decimal | None


@dataclass(frozen=True)
class Cell:
    """A cell of the geographic grid in degrees; it never crosses 180."""

    south: Decimal
    west: Decimal
    north: Decimal
    east: Decimal


def generalised(lat: float | Decimal, lon: float | Decimal, radius_m: float, category: int | str | None) -> Shown:
    """Keep a place back by its category: 1 extreme (1 degree), 2 high (0.1), 3 medium (0.01), 4 low (0.001).

    The figure may be text. None or "none" shows it as held; any category not known counts as 2. `radius_m` is the
    true radius in metres, added to that of the cell when its circle is wider than the cell.
    ValueError off the planet or for a radius not above 0.
    """
    exact_lat, exact_lon = _degrees(lat, 90), _degrees(lon, 180)
    if isinstance(radius_m, bool) or not 0 < radius_m < math.inf:
        raise ValueError("A place has a radius above 0 m. Give what its figures show at the least.")
    if category is None or category == "none":
        return Shown(exact_lat, exact_lon, math.ceil(radius_m), None)
    side = _side(category)
    centre_lat, centre_lon = _centre(exact_lat, side, 90), _centre(exact_lon, side, 180)
    cell = _around(centre_lat, centre_lon, side)
    corner_m = max(
        _to_centre(centre_lat, centre_lon, a, b) for a in (cell.south, cell.north) for b in (cell.west, cell.east)
    )
    more_m = 0.0 if _holds(cell, centre_lat, centre_lon, radius_m) else radius_m
    return Shown(centre_lat, centre_lon, math.ceil(corner_m + more_m), side)


def cell_of(shown: Shown) -> Cell:
    """The cell a shown point stands for; the point itself when it is shown as held."""
    return _around(shown.lat, shown.lon, shown.precision or Decimal(0))


def box_meets_cell(shown: Shown, *, south: float, west: float, north: float, east: float) -> bool:
    """Whether a search box in degrees meets the cell of a shown point, so that a search tells the cell and no more.

    A box with west above east runs across 180. Edges count as met. ValueError for a box upside down or off the planet.
    """
    low, high = _degrees(south, 90), _degrees(north, 90)
    left, right = _degrees(west, 180), _degrees(east, 180)
    if low > high:
        raise ValueError("The south of the box lies above its north. Are the two swapped?")
    if left > right:
        right += 360
    cell = cell_of(shown)
    if cell.north < low or cell.south > high:
        return False
    return any(cell.west + turn <= right and cell.east + turn >= left for turn in (-360, 0, 360))


def generalisation_words(shown: Shown, *, held_deg: float | None = None, held_m: float | None = None) -> str | None:
    """The text of Darwin Core `dataGeneralizations`, with the precision held and the one given; None if as held."""
    if shown.precision is None:
        return None
    held = f" from {_figure(held_deg)} degree" if held_deg else f" from {_figure(held_m)} m" if held_m else ""
    return f"Coordinates generalised{held} to a {shown.precision} degree geographic grid, cell centre given"


def _degrees(angle: float | Decimal, end: int) -> Decimal:
    if isinstance(angle, bool) or not math.isfinite(angle) or not -end <= angle <= end:
        raise ValueError(f"{angle} is off the planet: {'latitude' if end == 90 else 'longitude'} ends at {end}.")
    # By its shortest text, so that 0.3 is three tenths and does not fall into the cell below.
    return Decimal(str(angle))


def _side(category: int | str) -> Decimal:
    known = {str(number): side for number, side in CELL_DEG.items()}
    return known.get(str(category), CELL_DEG[CATEGORY_WHEN_UNKNOWN])


def _centre(angle: Decimal, side: Decimal, end: int) -> Decimal:
    cell = min((angle / side).to_integral_value(ROUND_FLOOR), end / side - 1)
    return cell * side + side / 2


def _around(lat: Decimal, lon: Decimal, side: Decimal) -> Cell:
    half = side / 2
    return Cell(lat - half, lon - half, lat + half, lon + half)


def _to_centre(centre_lat: Decimal, centre_lon: Decimal, lat: Decimal, lon: Decimal) -> float:
    return distance_m(float(centre_lat), float(centre_lon), float(lat), float(lon))


def _holds(cell: Cell, lat: Decimal, lon: Decimal, radius_m: float) -> bool:
    """Whether a circle of that radius fits into the cell at all, wherever in it the place lies."""
    poleward = max(cell.south, cell.north, key=abs)
    half_height_m = min(_to_centre(lat, lon, cell.south, lon), _to_centre(lat, lon, cell.north, lon))
    half_width_m = _to_centre(poleward, lon, poleward, cell.east)
    return radius_m <= min(half_height_m, half_width_m)


def _figure(number: float | None) -> str:
    return f"{Decimal(f'{number:.2g}'):f}"
