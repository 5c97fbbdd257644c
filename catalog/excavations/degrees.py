"""Latitude and longitude in degrees, with or without minutes and seconds, out of a field book's line. Pure.

Takes text whose signs are already one of each (`coordinates.py`); answers in exact fractions until the last step.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import NoReturn

UNITS = (Fraction(1), Fraction(1, 60), Fraction(1, 3600))
MARKS = ("°", "'", '"')
UNIT_NAMES = ("degree", "minute", "second")

_FIGURE = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*([°'\":]?)\s*")
_LOOSE_COMMA = re.compile(r"(?<![0-9]),|,(?![0-9])")
_LONE_MINUS = re.compile(r"[0-9°'\"]\s+-\s+[0-9]|[0-9°'\"]-[0-9]")
# A unit's letter ends there: at no letter, or at the one letter of a direction.
_ENDS = r"(?=$|[^A-Za-z]|[NSEWOnsewo](?![A-Za-z]))"
# d, m and s stand for the marks; an s counts as seconds only after an m of the same size, else it is south.
_UNIT_LETTERS = (
    (re.compile(r"([0-9])\s*m\s*([0-9.,]+)\s*s" + _ENDS), r"""\1'\2" """),
    (re.compile(r"([0-9])\s*M\s*([0-9.,]+)\s*S" + _ENDS), r"""\1'\2" """),
    (re.compile(r"([0-9])\s*(?:deg(?:rees?)?\.?|d)" + _ENDS, re.IGNORECASE), r"\1°"),
    (re.compile(r"([0-9])\s*(?:min(?:utes?)?\.?|m)" + _ENDS, re.IGNORECASE), r"\1'"),
    (re.compile(r"([0-9])\s*sec(?:onds?)?\.?" + _ENDS, re.IGNORECASE), r'\1"'),
)
# Φ and Λ stand here for the words "latitude" and "longitude", which name an axis but no direction.
_WORDS = (
    (re.compile(r"(?<![a-z])lat(?:itude)?(?![a-z])[.:=]*", re.IGNORECASE), "Φ"),
    (re.compile(r"(?<![a-z])(?:lng|lon|long|longitude)(?![a-z])[.:=]*", re.IGNORECASE), "Λ"),
    *(
        (re.compile(rf"(?<![a-z]){w}(?![a-z])", re.IGNORECASE), w[0].upper())
        for w in ("north", "south", "east", "west")
    ),
)
_NORTHINGS, _EASTINGS = "NSΦ", "EWΛ"
_EXAMPLES = "54.1234 N 8.5678 E, 54°07'24\"N 8°34'04\"E, 32N 401700 5997800 or 32ULE0170097800"


@dataclass(frozen=True)
class Degrees:
    """A pair as read: degrees, the precision the writing shows in degrees, and how many figures make one angle (1-3)."""

    lat: float
    lon: float
    precision_deg: float
    n_figures: int


@dataclass(frozen=True)
class _Angle:
    value: Fraction
    figures: tuple[str, ...]


def read_degrees(plain: str, *, comma: bool | None = None, east_is_o: bool = False) -> Degrees:
    """Read one latitude and one longitude; ValueError says what is wrong and what to write."""
    text = _with_marks(plain.strip(" ()[]{};").rstrip("."), east_is_o, plain)
    letters = list(re.finditer("[A-ZΦΛ]", text))
    if any(m[0] not in _NORTHINGS + _EASTINGS for m in letters):
        _unreadable(plain)
    if letters:
        lat, lon = _by_letters(text, letters, plain)
    else:
        first, second = _parts(text, comma, plain)
        lat, lon = _angle(first, "", plain), _angle(second, "", plain)
    _on_the_planet(float(lat.value), float(lon.value))
    step = _finest_step(lat, lon)
    return Degrees(float(lat.value), float(lon.value), float(step), max(len(lat.figures), len(lon.figures)))


def _with_marks(text: str, east_is_o: bool, plain: str) -> str:
    for pattern, mark in (*_UNIT_LETTERS, *_WORDS):
        text = pattern.sub(mark, text)
    text = re.sub("[a-z]", lambda m: m[0].upper(), text)
    if re.search("[NSEWO]", text):
        text = text.replace("Φ", " ").replace("Λ", " ").strip()
    if "O" in text and set(re.findall("[A-Z]", text)) <= set("NSEWO"):
        if not east_is_o:
            raise ValueError(f"The O in '{plain}' is east in German and west in French or Spanish. Write E or W.")
        text = text.replace("O", "E")
    return text


def _by_letters(text: str, letters: list[re.Match[str]], plain: str) -> tuple[_Angle, _Angle]:
    if len(letters) == 1:
        raise ValueError(f"'{plain}' has one letter only. Write both latitude and longitude, each with its letter.")
    if len(letters) > 2:
        _unreadable(plain)
    one, two = letters
    before = one.start() == 0
    parts = (text[: two.start()], text[two.start() :]) if before else (text[: one.end()], text[one.end() :])
    axes: dict[str, _Angle] = {}
    for letter, part in zip((one[0], two[0]), parts, strict=True):
        bare = part.strip(" ,;/")
        if not (bare.startswith(letter) if before else bare.endswith(letter)):
            _unreadable(plain)
        axis = "lat" if letter in _NORTHINGS else "lon"
        axes[axis] = _angle(bare.strip(letter + " ,;/"), letter, plain)
    if len(axes) == 1:
        kind = "latitudes" if "lat" in axes else "longitudes"
        raise ValueError(f"Both figures in '{plain}' are {kind}. Write one with N or S and one with E or W.")
    return axes["lat"], axes["lon"]


def _parts(text: str, comma: bool | None, plain: str) -> tuple[str, str]:
    """Cut a line without letters into its two angles, where it shows the place to cut."""
    if _LONE_MINUS.search(text):
        raise ValueError(
            f"The minus in '{plain}' may be a sign or a dash. Write it against its figure, or use letters."
        )
    for separator in ";/":
        if separator in text:
            return _two(text.split(separator), plain)
    cut = _cut_at_comma(text, comma, plain)
    if cut:
        return _two(cut, plain)
    signs = list(re.finditer(r"\s+(?=[+-][0-9])", text))
    if len(signs) == 1:
        return text[: signs[0].start()], text[signs[0].end() :]
    marked = list(re.finditer(r"[0-9.,]+\s*°", text))
    if len(marked) == 2:
        return text[: marked[1].start()], text[marked[1].start() :]
    groups = text.split()
    if len(groups) in (1, 3) or len(marked) == 1:
        _one_axis(plain)
    if len(groups) not in (2, 4, 6):
        _unreadable(plain)
    half = len(groups) // 2
    return " ".join(groups[:half]), " ".join(groups[half:])


def _cut_at_comma(text: str, comma: bool | None, plain: str) -> list[str] | None:
    """Parts beside a comma that separates; None where every comma is a decimal sign."""
    if _LOOSE_COMMA.search(text):
        return _LOOSE_COMMA.split(text)
    n_commas = text.count(",")
    if n_commas == 0:
        return None
    halves = text.split(",")
    if n_commas == 1 and ("." in text or ":" in text) and len(halves[0].split()) == len(halves[1].split()):
        return halves
    if n_commas == 2 and " " in text:
        return None
    if comma is None or n_commas not in (1, 3):
        raise ValueError(
            f"A comma in '{plain}' may be a decimal sign or stand between two figures. Put a semicolon between them: 54,1; 8,5."
        )
    if not comma:
        return halves
    if n_commas == 3:
        middle = text.index(",", text.index(",") + 1)
        return [text[:middle], text[middle + 1 :]]
    return None


def _two(parts: list[str], plain: str) -> tuple[str, str]:
    kept = [part.strip() for part in parts]
    if len(kept) == 2 and not all(kept):
        _one_axis(plain)
    if len(kept) != 2:
        _unreadable(plain)
    return kept[0], kept[1]


def _angle(part: str, letter: str, plain: str) -> _Angle:
    sign, body = (part[0], part[1:].strip()) if part[:1] in ("+", "-") else ("", part.strip())
    figures: list[str] = []
    at = 0
    while at < len(body):
        found = _FIGURE.match(body, at)
        if not found or len(figures) == 3 or found[2] not in ("", ":", MARKS[len(figures)]):
            _unreadable(plain)
        figures.append(found[1].replace(",", "."))
        at = found.end()
    if not figures:
        _unreadable(plain)
    _fit_together(figures)
    if (sign == "-" and letter in ("N", "E")) or (sign == "+" and letter in ("S", "W")):
        raise ValueError(f"Sign and letter disagree in '{part} {letter}'. Write either the sign or the letter.")
    value = sum((Fraction(figure) * unit for figure, unit in zip(figures, UNITS, strict=False)), Fraction(0))
    return _Angle(-value if sign == "-" or letter in ("S", "W") else value, tuple(figures))


def _fit_together(figures: list[str]) -> None:
    for figure, finer in zip(figures[:-1], UNIT_NAMES[1:], strict=False):
        if "." in figure:
            raise ValueError(
                f"{figure} has decimals, so no {finer}s can follow it. Write decimals in the last figure only."
            )
    for figure, name, coarser in zip(figures[1:], UNIT_NAMES[1:], UNIT_NAMES, strict=False):
        if Fraction(figure) >= 60:
            raise ValueError(f"{figure} {name}s do not fit: a {coarser} has 60. Write {name}s below 60.")


def _finest_step(lat: _Angle, lon: _Angle) -> Fraction:
    """The finest step in degrees that either angle shows: zeros at the end show none, and .5 .25 .75 are fractions.

    Source: Chapman & Wieczorek 2020, doi 10.15468/doc-gg7h-s853 (10.00000, -123.50000 shows half a degree).
    """
    shown = [_last_place(lat), _last_place(lon)]
    return min(_step(UNITS[place], [d for p, d in shown if p == place]) for place in {p for p, _ in shown})


def _last_place(angle: _Angle) -> tuple[int, str]:
    """Which unit is the last that shows anything (0 degrees, 1 minutes, 2 seconds), and its decimals."""
    for place in reversed(range(len(angle.figures))):
        whole, _, decimals = angle.figures[place].partition(".")
        if int(whole) or decimals.strip("0"):
            return place, decimals.rstrip("0")
    return 0, ""


def _step(unit: Fraction, decimals: list[str]) -> Fraction:
    seen = set(decimals) - {""}
    if not seen:
        return unit
    if seen <= {"5"}:
        return unit / 2
    if seen <= {"5", "25", "75"}:
        return unit / 4
    return unit * Fraction(1, 10 ** max(map(len, seen)))


def _on_the_planet(lat: float, lon: float) -> None:
    if abs(lat) <= 90 and abs(lon) <= 180:
        return
    if abs(lat) > 90:
        said = f"{_short(lat)} is off the planet: latitude ends at 90."
        mending = "Write a latitude up to 90."
        if abs(lon) <= 90 and abs(lat) <= 180:
            mending = f"Are north and east swapped? Then write {_short(lon)}, {_short(lat)}."
    else:
        said = f"{_short(lon)} is off the planet: longitude ends at 180."
        mending = "Write a longitude up to 180."
        if 180 < lon <= 360:
            mending = f"Counted all the way round from west to east it is {_short(lon - 360)}. Then write that."
    raise ValueError(f"{said} {mending}")


def _short(angle: float) -> str:
    return f"{angle:.6f}".rstrip("0").rstrip(".")


def _one_axis(plain: str) -> NoReturn:
    raise ValueError(f"'{plain}' is only one of the two. Write latitude and longitude, for example 54.1234, 8.5678.")


def _unreadable(plain: str) -> NoReturn:
    raise ValueError(f"We cannot read '{plain}'. Write it like one of these: {_EXAMPLES}.")
