"""Coordinates as a field book or a phone writes them: read to latitude and longitude, and shown back.

Pure. `read_coordinates` answers on the datum the figures were written on; `datum.to_wgs84` moves them from there.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from catalog.excavations import degrees, grid, radius

DECIMAL_DEGREES = "decimal degrees"
DECIMAL_MINUTES = "decimal minutes"
DEGREES_MINUTES_SECONDS = "degrees minutes seconds"
UTM = "UTM"
MGRS = "MGRS"
FORMS = (DECIMAL_DEGREES, DECIMAL_MINUTES, DEGREES_MINUTES_SECONDS, UTM, MGRS)

LONGEST_TEXT = 200
DATUM_ASSUMED = "The datum is taken to be WGS84, because none was named."
ELLIPSOID_ASSUMED = "The grid is taken to be that of WGS84, because its datum is not known."
NOUGHT_NOUGHT = "0, 0 is a point in the sea off West Africa, and often what an empty field turns into. Kept as it is."

# Field books and phones draw the same few signs in many ways; one of each is enough to read by.
_SIGNS = {
    **dict.fromkeys("º˚∘", "°"),
    **dict.fromkeys("′’‘´`ʹʼ", "'"),
    **dict.fromkeys("″”“„ʺ", '"'),
    **dict.fromkeys("−–—‑‐", "-"),
    **{chr(0xFF01 + n): chr(0x21 + n) for n in range(94)},
}
_ONE_SIGN = str.maketrans(_SIGNS)


@dataclass(frozen=True)
class Fix:
    """A point as it was written: `lat` and `lon` in degrees on the datum of the writing, `said` letter for letter.

    `precision_deg` is what the writing shows in degrees; a grid reference has `cell_m`, its side in metres, instead.
    `precision_m` is either of them on the ground there. `flags` are sentences: kept, but worth a look.
    """

    lat: float
    lon: float
    said: str
    form: str
    precision_deg: float | None
    cell_m: float | None
    precision_m: float
    flags: list[str]


def read_coordinates(text: str, *, comma: bool | None = None, east_is_o: bool = False, datum: str | None = None) -> Fix:
    """Read `text` as degrees, UTM or MGRS.

    `comma`: whether a comma is the collection's decimal sign; None asks back where it matters. `east_is_o`: O is east
    (German). `datum`: one of `datum.DATUMS`; it sets the ellipsoid of a UTM grid, and None takes WGS84 and says so.
    An MGRS reference is a cell, and the answer its centre; UTM figures are a point, as written.
    Raises ValueError with a sentence for the reader: what is wrong and what to write.
    """
    if datum is not None and datum not in grid.ELLIPSOIDS:
        raise ValueError(f"The datum '{datum}' is not offered. Choose one of: {', '.join(grid.ELLIPSOIDS)}.")
    plain = _plain(text)
    flags = [DATUM_ASSUMED] if datum is None else []
    if grid.looks_like_mgrs(plain):
        place = grid.read_mgrs(plain, datum or "WGS84")
        fix = Fix(place.lat, place.lon, text, MGRS, None, place.cell_m, place.cell_m, flags)
    elif grid.looks_like_utm(plain):
        place = grid.read_utm(plain, datum or "WGS84")
        # A point may lie a whole unit off both ways; a cell's centre is never a whole cell off.
        fix = Fix(place.lat, place.lon, text, UTM, None, place.cell_m, place.cell_m * 2**0.5, flags)
    else:
        read = degrees.read_degrees(plain, comma=comma, east_is_o=east_is_o)
        form = (DECIMAL_DEGREES, DECIMAL_MINUTES, DEGREES_MINUTES_SECONDS)[read.n_figures - 1]
        precision_m = radius.precision_m(read.lat, read.precision_deg)
        fix = Fix(read.lat, read.lon, text, form, read.precision_deg, None, precision_m, flags)
    if datum == "unknown" and fix.cell_m is not None:
        flags.append(ELLIPSOID_ASSUMED)
    if fix.lat == 0 and fix.lon == 0:
        flags.append(NOUGHT_NOUGHT)
    return fix


def _plain(text: str) -> str:
    if not isinstance(text, str) or not text.strip():
        raise ValueError("Nothing is written. Write latitude and longitude, for example 54.1234 N 8.5678 E.")
    if len(text) > LONGEST_TEXT:
        raise ValueError("This is too long for one point. Write one latitude and one longitude.")
    return " ".join(text.translate(_ONE_SIGN).replace("''", '"').split())


def shown_as(lat: float, lon: float, form: str, precision_m: float | None = None) -> str:
    """Write a WGS84 point in one of `FORMS`, in as many figures as `precision_m` metres call for (None: a metre or two).

    What is shown reads back to within `precision_m` of the point, down to about a centimetre (a metre in MGRS).
    ValueError for UTM and MGRS beyond 80 degrees south and 84 degrees north, where neither grid reaches.
    """
    if not -90 <= lat <= 90 or not -180 <= lon <= 180:
        raise ValueError(f"{lat}, {lon} is off the planet: latitude ends at 90 and longitude at 180.")
    if form == UTM:
        return grid.utm_text(lat, lon, precision_m)
    if form == MGRS:
        return grid.mgrs_text(lat, lon, precision_m)
    if form not in FORMS:
        raise ValueError(f"'{form}' is no way of writing coordinates known here. Choose one of: {', '.join(FORMS)}.")
    if form == DECIMAL_DEGREES:
        decimals = _decimals(lat, 1, precision_m, most=7, usual=5)
        return f"{_rounded(lat, decimals)}, {_rounded(lon, decimals)}"
    return f"{_sexagesimal(lat, 'NS', form, lat, precision_m)} {_sexagesimal(lon, 'EW', form, lat, precision_m)}"


def _decimals(lat: float, units_in_a_degree: int, precision_m: float | None, *, most: int, usual: int) -> int:
    if precision_m is None:
        return usual
    fine = (n for n in range(most) if radius.precision_m(lat, 10**-n / units_in_a_degree) <= precision_m * (1 + 1e-9))
    return next(fine, most)


def _rounded(angle: float, decimals: int) -> str:
    text = f"{Decimal(str(angle)).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_EVEN):f}"
    return text.removeprefix("-") if not text.strip("-0.") else text


def _sexagesimal(angle: float, letters: str, form: str, lat: float, precision_m: float | None) -> str:
    seconds_too = form == DEGREES_MINUTES_SECONDS
    units = 3600 if seconds_too else 60
    decimals = _decimals(lat, units, precision_m, most=3 if seconds_too else 5, usual=1 if seconds_too else 3)
    # Whole count of the last place first, so that 59.99 seconds become the next minute and never "60".
    steps = int((Decimal(str(abs(angle))) * units * 10**decimals).to_integral_value(ROUND_HALF_EVEN))
    whole, last = divmod(steps, 60 * 10**decimals)
    width = 2 if decimals == 0 else 3 + decimals
    last_text = f"{Decimal(last).scaleb(-decimals):0{width}.{decimals}f}"
    letter = letters[1] if angle < 0 and steps else letters[0]
    if seconds_too:
        return f"{whole // 60}°{whole % 60:02d}'{last_text}\"{letter}"
    return f"{whole}°{last_text}'{letter}"
