"""UTM and MGRS grid references, read and written. Pure; pyproj and mgrs are loaded when first needed (0.4 s).

A UTM grid lies on the ellipsoid of its datum, and on another ellipsoid the same figures mean a place hundreds of
metres away; so the reader of figures names the datum.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, NoReturn

if TYPE_CHECKING:
    from pyproj import Transformer

ELLIPSOIDS = {
    "WGS84": "WGS84",
    "ETRS89": "GRS80",
    "NAD27": "clrk66",
    "OSGB36": "airy",
    "ED50": "intl",
    "unknown": "WGS84",
}
MGRS_DATUMS = ("WGS84", "ETRS89", "unknown")
BANDS = "CDEFGHJKLMNPQRSTUVWX"
SOUTH_END, NORTH_END = -80.0, 84.0
_CLOSE_DEG = 1e-4  # figures rounded to metres may fall just over an edge

_MGRS = re.compile(r"([0-9]{1,3})([A-Z])([A-Z]{2})([0-9]*)$")
_DEGREES_IN_WORDS = re.compile(r"[0-9]{1,3}DEG[0-9]{0,3}$")  # with more figures DEG is a square of Antarctica
_POLAR = re.compile(r"[ABYZ][A-Z]{2}[0-9]{2,}$")
_LONG_FIGURE = re.compile(r"(?<![0-9.,])[0-9]{5,}")
_ZONE = re.compile(r"(?:UTM)?\s*(?:ZONE)?\s*([0-9]{1,2})(?![0-9])\s*([A-Z]?)(?:\s*(NORTH|SOUTH|[NS]))?(?=[\s,;:]|$)")
_TOKEN = re.compile(r"[0-9]+(?:\.[0-9]+|,[0-9]{1,3}(?![0-9]))?|[A-Z]+|[^\s,;:]")
_LETTER_OF = {"E": "E", "ME": "E", "EASTING": "E", "N": "N", "MN": "N", "NORTHING": "N"}


@dataclass(frozen=True)
class GridPlace:
    """Degrees on the datum of the grid, and the side in metres of the square that the figures tell apart."""

    lat: float
    lon: float
    cell_m: float


def looks_like_mgrs(plain: str) -> bool:
    tight = plain.upper().replace(" ", "")
    return bool((_MGRS.match(tight) or _POLAR.match(tight)) and not _DEGREES_IN_WORDS.match(tight))


def looks_like_utm(plain: str) -> bool:
    return bool(_LONG_FIGURE.search(plain))


def read_mgrs(plain: str, datum: str = "WGS84") -> GridPlace:
    """The centre of an MGRS cell of 10 km to 1 m; ValueError says what is wrong and what to write."""
    said = plain.upper()
    found = _MGRS.match(said.replace(" ", ""))
    if not found:
        raise ValueError(f"'{said}' is a polar square, which we do not read. Write the place in degrees.")
    zone, band, square, figures = found.groups()
    if datum not in MGRS_DATUMS:
        raise ValueError(f"MGRS squares have other letters on {datum}. Write the place as UTM or in degrees.")
    if set(band + square) & {"I", "O"}:
        raise ValueError(f"MGRS has no letters I and O, so '{said}' holds a slip. Write 1 or 0, or the letter meant.")
    _zone(zone, said)
    if band not in BANDS:
        raise ValueError(f"Band {band} in '{said}' is polar, which we do not read. Write the place in degrees.")
    if len(figures) % 2 or not 2 <= len(figures) <= 10:
        raise ValueError(f"'{said}' has {len(figures)} figures after its letters. Write 2, 4, 6, 8 or 10 of them.")
    # The library takes a short reference without a word, so the side of the cell is counted here.
    cell_m = 10.0 ** (5 - len(figures) // 2)
    lat, lon = _centre(f"{int(zone)}{band}{square}{figures}", said)
    if not _in_band(lat, band, cell_m / 100_000):
        _no_such_square(said)
    return GridPlace(lat, lon, cell_m)


def _centre(reference: str, said: str) -> tuple[float, float]:
    import mgrs

    try:
        lat, lon = mgrs.MGRS().toLatLon(reference)
    except (mgrs.core.MGRSError, RuntimeWarning):
        _no_such_square(said)
    return float(lat), float(lon)


def _no_such_square(said: str) -> NoReturn:
    raise ValueError(f"There is no square '{said}': zone, band and letters do not meet. Compare them with the map.")


def read_utm(plain: str, datum: str = "WGS84") -> GridPlace:
    """The point of a zone, a half of the earth, an easting and a northing in metres, on the ellipsoid of `datum`.

    The zone is taken as written, also beyond its usual six degrees. ValueError says what is wrong and what to write.
    """
    text = plain.upper()
    found = _ZONE.match(text)
    if not found:
        raise ValueError(f"'{plain}' has no UTM zone. Write it before the figures with its half: 32N 401700 5997800.")
    zone, letter, half = _zone(found[1], plain), found[2], (found[3] or "")[:1]
    easting, northing = _easting_northing(text[found.end() :], f"{zone}{letter or half}", plain)
    south = _is_south(zone, letter, half, float(easting), float(northing), datum, plain)
    lat, lon = _from_utm(zone, south, float(easting), float(northing), datum)
    if not SOUTH_END - _CLOSE_DEG <= lat <= NORTH_END + _CLOSE_DEG or not -180 <= lon <= 180:
        raise ValueError(
            f"'{plain}' lies beyond the ends of UTM, 80 south and 84 north. Compare the northing with the map."
        )
    if letter not in ("", "N", "S") and not _in_band(lat, letter, _CLOSE_DEG):
        raise ValueError(
            f"Band {letter} and the northing disagree in '{plain}': the figures lie at {lat:.2f} degrees. "
            f"Compare both with the map, or write {zone} {'south' if south else 'north'}."
        )
    return GridPlace(lat, lon, min(_last_place_m(easting), _last_place_m(northing)))


def _zone(text: str, said: str) -> int:
    if not 1 <= int(text) <= 60:
        raise ValueError(f"Zone {int(text)} in '{said}' does not exist. Write a zone from 1 to 60.")
    return int(text)


def _easting_northing(rest: str, zone: str, plain: str) -> tuple[str, str]:
    tokens = [_LETTER_OF.get(token, token) for token in _TOKEN.findall(rest) if token not in ("M", "UTM")]
    figures = [token.replace(",", ".") for token in tokens if token[0].isdigit()]
    letters = "".join(token for token in tokens if not token[0].isdigit())
    shape = "".join("9" if token[0].isdigit() else "L" for token in tokens)
    if shape not in ("99", "9L9L", "L9L9") or letters not in ("", "EN", "NE"):
        raise ValueError(f"We cannot read '{plain}' as UTM. Write zone, half, easting, northing: 32N 401700 5997800.")
    easting, northing = reversed(figures) if letters == "NE" else figures
    if float(easting) >= 1_000_000 > float(northing) >= 100_000:
        raise ValueError(
            f"The easting {easting} is too long. Are the two swapped? Then write {zone} {northing} {easting}."
        )
    if not 100_000 <= float(easting) < 1_000_000:
        raise ValueError(f"The easting {easting} is not in any zone. Write its six figures before the point.")
    if float(northing) > 10_000_000:
        raise ValueError(f"The northing {northing} is more than 10 000 000 m. Write at most seven figures.")
    return easting, northing


def _is_south(zone: int, letter: str, half: str, easting: float, northing: float, datum: str, plain: str) -> bool:
    """Which half of the earth; asked back rather than guessed."""
    if not letter and not half:
        raise ValueError(
            f"'{plain}' does not say which half of the earth. Write {zone}N for north or {zone}S for south."
        )
    if letter and letter not in BANDS:
        raise ValueError(f"There is no UTM band {letter}. Write {zone}N for north of the equator, {zone}S for south.")
    if letter == "S" and not half and 32 <= _from_utm(zone, False, easting, northing, datum)[0] < 40:
        raise ValueError(
            f"The S in '{plain}' may be south, or band S, which lies 32 to 40 degrees north. "
            f"Write {zone} south or {zone} north."
        )
    if letter in ("", "S"):
        return (half or letter) == "S"
    if half and (half == "N") != (letter >= "N"):
        side = "north" if letter >= "N" else "south"
        raise ValueError(
            f"Band {letter} lies {side} of the equator, but '{plain}' says otherwise. Write only one of them."
        )
    return letter < "N"


def _in_band(lat: float, band: str, slack_deg: float) -> bool:
    low = -80 + 8 * BANDS.index(band)
    high = NORTH_END if band == "X" else low + 8
    return low - slack_deg <= lat <= high + slack_deg


def _last_place_m(figure: str) -> float:
    """The last place a figure of metres really shows: zeros at the end show none."""
    whole, _, decimals = figure.partition(".")
    if decimals.strip("0"):
        return 10.0 ** -len(decimals.rstrip("0"))
    return 10.0 ** (len(whole) - len(whole.rstrip("0")))


def _from_utm(zone: int, south: bool, easting: float, northing: float, datum: str) -> tuple[float, float]:
    lon, lat = _utm(zone, south, ELLIPSOIDS[datum]).transform(easting, northing, direction="INVERSE")
    return float(lat), float(lon)


@lru_cache(maxsize=32)
def _utm(zone: int, south: bool, ellipsoid: str) -> "Transformer":
    from pyproj import Transformer

    half = " +south" if south else ""
    return Transformer.from_pipeline(
        "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad "
        f"+step +proj=utm +zone={zone}{half} +ellps={ellipsoid}"
    )


def zone_of(lat: float, lon: float) -> int:
    """The UTM zone of a point, with the wide zones of south-west Norway and Svalbard."""
    if 56 <= lat < 64 and 3 <= lon < 12:
        return 32
    if lat >= 72 and 0 <= lon < 42:
        return next(zone for zone, east in ((31, 9), (33, 21), (35, 33), (37, 42)) if lon < east)
    return int((lon + 180) // 6) % 60 + 1


def utm_text(lat: float, lon: float, precision_m: float | None = None) -> str:
    """`38N 444140 3684706`: a WGS84 point in whole metres, or in decimals where the precision calls for them."""
    _within_reach(lat)
    zone, south = zone_of(lat, lon), lat < 0
    easting, northing = _utm(zone, south, "WGS84").transform(lon, lat)
    decimals = next((n for n in range(2) if 10**-n * 2**0.5 <= (precision_m or 2) * (1 + 1e-9)), 2)
    # South of the equator the letter alone can be taken for band S; there the word is written.
    doubtful = south and 32 <= _from_utm(zone, False, easting, northing, "WGS84")[0] < 40
    half = " south" if doubtful else "S" if south else "N"
    return f"{zone}{half} {easting:.{decimals}f} {northing:.{decimals}f}"


def mgrs_text(lat: float, lon: float, precision_m: float | None = None) -> str:
    """`38SMB4414084706`: the WGS84 cell that holds the point, of 10 km to 1 m, none larger than the precision."""
    import mgrs

    _within_reach(lat)
    pairs = next((n for n in range(1, 5) if 10 ** (5 - n) <= (precision_m or 1) * (1 + 1e-9)), 5)
    # Within a centimetre south of the equator the library names a square that does not exist.
    return str(mgrs.MGRS().toMGRS(0.0 if -1e-7 < lat < 0 else lat, lon, MGRSPrecision=pairs))


def _within_reach(lat: float) -> None:
    if not SOUTH_END <= lat <= NORTH_END:
        raise ValueError("UTM and MGRS reach from 80 south to 84 north only. Show this place in degrees.")
