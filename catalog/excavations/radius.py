"""How far the true place may lie from a point: the radius that is kept with every fix, part by part. Pure.

Source: Chapman & Wieczorek 2020, Georeferencing Best Practices, GBIF Secretariat, doi 10.15468/doc-gg7h-s853, ch. 3.
"""

import math
import re
from decimal import Decimal

EQUATOR_M = 6_378_137.0
FLATTENING = 1 / 298.257223563
_E2 = FLATTENING * (2 - FLATTENING)
# Half the angle between the winds that the writer chose from, in degrees.
HALF_SECTOR_DEG = {4: 45.0, 8: 22.5, 16: 11.25}
RECEIVER_FACTOR = 2  # a receiver's "accuracy" holds about half of its fixes


def degree_m(lat: float) -> tuple[float, float]:
    """Metres in one degree at a latitude on WGS84: along the meridian, and along the parallel."""
    if not -90 <= lat <= 90:
        raise ValueError(f"{lat} is off the planet: latitude ends at 90.")
    s2 = math.sin(math.radians(lat)) ** 2
    meridian = EQUATOR_M * (1 - _E2) / (1 - _E2 * s2) ** 1.5
    parallel = EQUATOR_M / math.sqrt(1 - _E2 * s2) * math.cos(math.radians(lat))
    return math.radians(meridian), math.radians(parallel)


def precision_m(lat: float, precision_deg: float) -> float:
    """What a step of `precision_deg` degrees both ways is on the ground at a latitude, in metres: the full step."""
    if not 0 < precision_deg <= 180:
        raise ValueError(f"A precision of {precision_deg} degrees says nothing. Write one above 0.")
    north_m, east_m = degree_m(lat)
    return math.hypot(north_m, east_m) * precision_deg


def radius_m(
    precision_m: float,
    *,
    extent_m: float = 0.0,
    receiver_m: float = 0.0,
    stated_m: float = 0.0,
    map_m: float = 0.0,
    datum_m: float = 0.0,
    offset_m: float = 0.0,
) -> int:
    """The radius of a point in whole metres, rounded up: the plain sum of its parts, so never too small and never 0.

    `extent_m` of the feature itself; `receiver_m` as a GPS receiver shows it (counted double); `stated_m` a radius
    somebody or a browser states, taken as it is; `map_m` from `map_m`; `datum_m` as `datum.Moved.added_m`;
    `offset_m` from `sector_m`, or the doubt of a distance measured along a known line.
    """
    parts = [precision_m, extent_m, RECEIVER_FACTOR * receiver_m, stated_m, map_m, datum_m, offset_m]
    if not all(math.isfinite(part) and part >= 0 for part in parts):
        raise ValueError("Every part of a radius is a number of metres, 0 or more.")
    if precision_m == 0:
        raise ValueError("No writing of a place is exact. Say what its figures show, in metres above 0.")
    # A millionth of a metre is lost, so that a sum of 12.000000000001 is still 12.
    return max(1, math.ceil(sum(parts) - 1e-6))


def sector_m(distance_m: float, winds: int, doubt_m: float = 0.0) -> float:
    """How far off the end of "10 km north-east" may lie: the far corner of its sector, in metres.

    `winds`: 4, 8 or 16, by the finest wind the writer would have named; `doubt_m` of the distance (`offset_doubt`).
    """
    if winds not in HALF_SECTOR_DEG:
        raise ValueError(f"Headings are told by 4, 8 or 16 winds, not by {winds}.")
    if not (distance_m >= 0 and doubt_m >= 0):
        raise ValueError("A distance and its doubt are metres, 0 or more.")
    far = distance_m + doubt_m
    half = math.radians(HALF_SECTOR_DEG[winds])
    return math.sqrt(distance_m**2 + far**2 - 2 * distance_m * far * math.cos(half))


def offset_doubt(figure: str) -> float:
    """The doubt of a distance as written, in the unit it was written in: "10.5" gives 0.25, "140" gives 5.

    Halves and quarters count as fractions, other decimals by half their last place, a whole number that ends in 0
    by half of ten to the number of its figures less two.
    """
    if not re.fullmatch(r"[0-9]+(\.[0-9]+)?", figure):
        raise ValueError(f"We cannot read '{figure}' as a distance. Write figures with a point: 10.5.")
    whole, _, decimals = figure.partition(".")
    if decimals == "5":
        return 0.25
    if decimals in ("25", "75"):
        return 0.125
    if decimals:
        return float(Decimal(1).scaleb(-len(decimals)) / 2)
    digits = len(whole.lstrip("0"))
    if whole.endswith("0") and digits >= 2:
        return float(10 ** (digits - 2)) / 2
    return 0.5


def map_m(scale: int, line_mm: float = 0.5) -> float:
    """What the width of a drawn line is on the ground of a paper map 1:`scale`, in metres."""
    if scale <= 0 or line_mm <= 0:
        raise ValueError("A map has a scale and a line width above 0.")
    return scale * line_mm / 1000
