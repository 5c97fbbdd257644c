"""From the datum of an old map or field book to WGS84. Pure; pyproj is loaded when first needed.

Only operations of the EPSG register that need no grid file are used, each by its number, with the accuracy the
register states. Nothing is moved by a rough guess: where no operation is known the place is refused.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from catalog.excavations.distance import distance_m

if TYPE_CHECKING:
    from pyproj import Transformer

UNKNOWN = "unknown"
# The largest shift between any two datums anywhere: Chapman & Wieczorek 2020, doi 10.15468/doc-gg7h-s853,
# "Uncertainty from Unknown Datum".
UNKNOWN_SHIFT_M = 5359.0
EPSG_OPERATIONS = {
    "ETRS89": (1149,),
    "NAD27": (1173, 1172, 1176, 1187, 1171, 1170, 1177),  # USA, Canada, Alaska, Mexico, Central America, islands
    "OSGB36": (1314,),
    "ED50": (1133, 1784),  # western Europe, Türkiye
}
DATUMS = ("WGS84", *EPSG_OPERATIONS, UNKNOWN)


@dataclass(frozen=True)
class Moved:
    """A point on WGS84 in degrees; `added_m` goes onto its radius in full; `operation` is what moved it, by name."""

    lat: float
    lon: float
    added_m: float
    operation: str


@dataclass(frozen=True)
class _Operation:
    name: str
    accuracy_m: float
    west: float
    south: float
    east: float
    north: float
    transformer: "Transformer"

    def moved(self, lat: float, lon: float) -> tuple[float, float]:
        new_lat, new_lon = self.transformer.transform(lat, lon)
        return float(new_lat), float(new_lon)


def to_wgs84(lat: float, lon: float, datum: str, *, local_shift_m: float = UNKNOWN_SHIFT_M) -> Moved:
    """Move a point in degrees from one of `DATUMS` to WGS84.

    An unknown datum keeps its numbers and adds `local_shift_m` metres: the worst case of the world, or the largest
    shift looked up for the region. ValueError for a datum not offered and for a place where it is not used.
    """
    if datum not in DATUMS:
        raise ValueError(f"The datum '{datum}' is not offered. Choose one of: {', '.join(DATUMS)}.")
    if not -90 <= lat <= 90 or not -180 <= lon <= 180:
        raise ValueError(f"{lat}, {lon} is off the planet: latitude ends at 90 and longitude at 180.")
    if datum == "WGS84":
        return Moved(lat, lon, 0.0, "none: it is WGS84")
    if datum == UNKNOWN:
        return Moved(lat, lon, local_shift_m, "none: the datum is not known")
    fitting = [op for op in map(_operation, EPSG_OPERATIONS[datum]) if _covers(op, lat, lon)]
    if not fitting:
        raise ValueError(
            f"{datum} is not in use at {lat:g}, {lon:g}. Compare the place, or say the datum is not known."
        )
    new_lat, new_lon = fitting[0].moved(lat, lon)
    # Where the areas of two operations meet, the circle covers the answers of both.
    added_m = max(distance_m(new_lat, new_lon, *op.moved(lat, lon)) + op.accuracy_m for op in fitting)
    return Moved(new_lat, new_lon, added_m, fitting[0].name)


def _covers(op: _Operation, lat: float, lon: float) -> bool:
    return op.south <= lat <= op.north and op.west <= lon <= op.east


@lru_cache(maxsize=32)
def _operation(code: int) -> _Operation:
    from pyproj import Transformer
    from pyproj.crs import CoordinateOperation  # type: ignore[attr-defined]

    entry = CoordinateOperation.from_epsg(code)
    area = entry.area_of_use
    if area is None or entry.accuracy <= 0:
        raise ValueError(f"The EPSG register states no area or accuracy for operation {code}.")
    transformer = Transformer.from_pipeline(f"urn:ogc:def:coordinateOperation:EPSG::{code}")
    return _Operation(entry.name, entry.accuracy, area.west, area.south, area.east, area.north, transformer)
