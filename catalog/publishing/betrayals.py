"""Words and figures in a text for visitors that give a kept-back place away, or name who has not agreed. Pure.

Coordinates are looked for in all the forms that field books use (`excavations/coordinates.py`): each run of neighbouring
words that could be one point is read as one. Names are compared without case, accents and what stands between their words.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from decimal import Decimal

from catalog.excavations.coordinates import read_coordinates

_LONGEST_RUN = 8  # 53 43 24.5 N 7 21 8.25 E
_METRES_IN_DEGREE = Decimal(111_000)
_LABELS = {"lat", "latitude", "lon", "long", "lng", "longitude", "and", "n.b", "utm", "zone"}
_SIDES = {"north": "N", "south": "S", "east": "E", "west": "W"}
_PART = re.compile(r"[NSEWO]|mE|mN|[A-Z]{1,3}|.*\d.*")
# a figure that no story needs and no rounding leaves: four decimals, or minutes behind degrees
_FINE_FIGURE = re.compile(r"(?<![\d.])[-+−]?\d{1,3}[.,]\d{4,}(?!\d)|\d{1,3}\s*[°º]\s*\d")


def words_of(text: str) -> list[str]:
    """Folded words in order: `Noord-Kreek’s` -> noord, kreek, s."""
    plain = unicodedata.normalize("NFKD", text)
    bare = "".join(c for c in plain if not unicodedata.combining(c))
    return re.findall(r"[^\W_]+", bare.casefold())


def named_in(text: str, names: Iterable[str]) -> list[str]:
    """Which of these names occur in the text: word by word, and for names of eight letters or more also run together."""
    said = words_of(text)
    together = "".join(said)
    return [name for name in names if _occurs(words_of(name), said, together)]


def _occurs(name: list[str], said: list[str], together: str) -> bool:
    if not name:
        return False
    if any(said[n : n + len(name)] == name for n in range(len(said) - len(name) + 1)):
        return True
    run = "".join(name)
    return len(run) >= 8 and run in together


def coordinates_in(text: str, finest_deg: Decimal) -> str:
    """The first run of words that reads as a point finer than a cell of `finest_deg`; empty without one."""
    plain = unicodedata.normalize("NFKC", text)
    for run in _runs(plain):
        for first in range(len(run)):
            for last in range(first + 1, min(first + _LONGEST_RUN, len(run)) + 1):
                words = " ".join(run[first:last])
                if _is_finer(words, finest_deg):
                    return words
    found = _FINE_FIGURE.search(plain)
    return found.group().strip() if found else ""


def _runs(text: str) -> Iterable[list[str]]:
    """Neighbouring words that could be parts of a point."""
    run: list[str] = []
    for token in re.split(r"[\s=?&/()\[\]<>@:|;]+", text):
        bare = token.strip(".,!?“‘")
        word = _SIDES.get(bare.casefold(), bare)
        if word.casefold() in _LABELS or not word:
            continue
        if _PART.fullmatch(word):
            run.append(word)
        else:
            if run:
                yield run
            run = []
    if run:
        yield run


def _is_finer(words: str, finest_deg: Decimal) -> bool:
    marked = re.search(r"[A-Z°'\"′″’]|\d[.,]\d\d", words)  # bare whole numbers are counts, not a point
    if not marked or len(re.findall(r"\d+", words)) < 2:
        return False
    return any(_reads_finer(words, finest_deg, comma) for comma in (False, True))


def _reads_finer(words: str, finest_deg: Decimal, comma: bool) -> bool:
    try:
        fix = read_coordinates(words, comma=comma)
    except ValueError:
        return False
    if fix.precision_deg is not None:
        return Decimal(str(fix.precision_deg)) < finest_deg
    return Decimal(str(fix.cell_m or 0)) < finest_deg * _METRES_IN_DEGREE


def names_in_words(words: str) -> list[str]:
    """Names of places in what was said of an exact place: capitalised words in a run, a single one not at a sentence's start."""
    found = []
    for sentence in re.split(r"[.!?]\s+", words):
        for run in re.finditer(rf"{_CAPITALISED}(?:\s+{_CAPITALISED})*", sentence):
            names, begins = run.group().split(), not sentence[: run.start()].strip()
            found += [" ".join(names)] if len(names) > 1 or (not begins and len(names[0]) > 3) else []
            found += [" ".join(names[1:])] if begins and len(names) > 2 else []
    return found


_CAPITALISED = r"[^\W\d_a-zß-öø-ÿ][\w’'-]+"
