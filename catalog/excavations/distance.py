"""Distance and bearing on the WGS84 ellipsoid, never on a sphere. Pure.

Geodesics after Karney 2013, J. Geodesy 87, doi 10.1007/s00190-012-0578-z, by geographiclib.
"""

from collections.abc import Iterable


def distance_m(from_lat: float, from_lon: float, to_lat: float, to_lon: float) -> float:
    """The shortest way along the ground between two points in degrees, in metres."""
    return _inverse(from_lat, from_lon, to_lat, to_lon)["s12"]


def bearing_deg(from_lat: float, from_lon: float, to_lat: float, to_lon: float) -> float | None:
    """The direction in which one sets out, in degrees clockwise from north (0 to 360); None from a point to itself."""
    way = _inverse(from_lat, from_lon, to_lat, to_lon)
    return way["azi1"] % 360 if way["s12"] > 0 else None


def far_from_others(
    lat: float, lon: float, others: Iterable[tuple[float, float]], *, limit_m: float = 200_000
) -> str | None:
    """A doubt in words when a fix lies beyond `limit_m` from all other fixes of its site, with the likely mending."""
    places = list(others)
    nearest_m = min((distance_m(lat, lon, *place) for place in places), default=0.0)
    if nearest_m <= limit_m:
        return None
    doubt = f"This lies {nearest_m / 1000:.0f} km from the nearest other fix of its site."
    if abs(lon) <= 90:
        swapped_m = min(distance_m(lon, lat, *place) for place in places)
        if swapped_m <= limit_m:
            return f"{doubt} Are north and east swapped? Then it lies {swapped_m / 1000:.0f} km from it. Kept as it is."
    return f"{doubt} Compare it with the field book. Kept as it is."


def _inverse(from_lat: float, from_lon: float, to_lat: float, to_lon: float) -> dict[str, float]:
    from geographiclib.geodesic import Geodesic

    for lat, lon in ((from_lat, from_lon), (to_lat, to_lon)):
        # Also keeps out what is not a number, which no comparison holds for.
        if not -90 <= lat <= 90 or not -180 <= lon <= 180:
            raise ValueError(f"{lat}, {lon} is off the planet: latitude ends at 90 and longitude at 180.")
    way: dict[str, float] = Geodesic.WGS84.Inverse(from_lat, from_lon, to_lat, to_lon)
    return way
