"""One typed date without marks, made into EDTF text: figures, names of months, seasons, decades."""

import calendar
import re
from dataclasses import dataclass
from datetime import date, timedelta

from catalog.ground.edtf.reading import read_edtf
from catalog.ground.say import MONTHS

_ROMAN = ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii")  # as on labels: 3.iv.2011
_MONTH_WORDS = (
    {name.lower(): n for n, name in enumerate(MONTHS, 1)}
    | {name[:3].lower(): n for n, name in enumerate(MONTHS, 1)}
    | {roman: n for n, roman in enumerate(_ROMAN, 1)}
    | {"sept": 9}
)
_SEASON_WORDS = {"spring": 21, "summer": 22, "autumn": 23, "fall": 23, "winter": 24}
_LEFT_OUT = {"of", "the", "in", "on"}

_YEAR_FIRST = re.compile(r"([0-9]{4})([-./])([0-9]{1,2})\2([0-9]{1,2})")
_YEAR_LAST = re.compile(r"([0-9]{1,2})([-./]) ?([0-9]{1,2})\2 ?([0-9]{4})")
_SHORT_YEAR = re.compile(r"[0-9]{1,2}([-./])[0-9]{1,2}\1[0-9]{2}")
_MONTH_YEAR = re.compile(r"([0-9]{1,2})[-./]([0-9]{4})")
_YEAR_AND = re.compile(r"([0-9]{4}) ?[-/] ?([0-9]{2})")
_WINTER_OF_TWO = re.compile(r"(spring|summer|autumn|fall|winter)(?: of)? ([0-9]{4}) ?[-/] ?([0-9]{2}|[0-9]{4})")
_DECADE = re.compile(r"(?:the )?([0-9]{3})(?:0'?s|x)")
_CENTURY = re.compile(r"(?:the )?([0-9]{1,2})(?:st|nd|rd|th) century|([0-9]{2})xx")
_UNCLEAR_DECADE = re.compile(r"(?:the )?'?([0-9]{2})(00)?'?s")


@dataclass(frozen=True)
class Habit:
    """How the one who types is read: the day it is, order of day and month, half of the earth."""

    today: date
    day_first: bool | None = None
    south: bool | None = False


def single_date(said: str, habit: Habit, *, lent: str = "") -> str | None:
    """EDTF text of one date in lower-case words, None when it is none. `lent`: year or year-month to borrow from."""
    if said in ("today", "yesterday"):
        return (habit.today - timedelta(days=said == "yesterday")).isoformat()
    return (
        _in_figures(said, habit)
        or _decade_or_century(said)
        or _two_year_season(said, habit)
        or _named(said, habit, lent)
    )


def lends(kept: str | None) -> str:
    """The year and month that the first end of a span may borrow from the second."""
    return (kept or "").rstrip("?~%")[:7]


def _in_figures(said: str, habit: Habit) -> str | None:
    if re.fullmatch(r"[0-9]{4}", said):
        return said
    if found := _YEAR_FIRST.fullmatch(said):
        return _day(found[1], int(found[3]), int(found[4]))
    if found := _YEAR_LAST.fullmatch(said):
        return _ordered(said, found, habit)
    if found := _MONTH_YEAR.fullmatch(said):
        return _checked(f"{found[2]}-{int(found[1]):02d}")
    if _SHORT_YEAR.fullmatch(said):
        raise ValueError(f"The year of {said} is not clear. Write it with four figures, such as 3 April 2011.")
    if found := _YEAR_AND.fullmatch(said):
        return _year_and(said, found[1], found[2])
    return None


def _ordered(said: str, found: re.Match[str], habit: Habit) -> str:
    """Day.month.year has the day first; with strokes or hyphens either may come first."""
    first, second, year = int(found[1]), int(found[3]), found[4]
    day_first = True if found[2] == "." else habit.day_first
    if first > 12 or first == second:
        day_first = True
    elif second > 12:
        day_first = False
    if day_first is None:
        one, other = f"{first} {MONTHS[second - 1]}", f"{second} {MONTHS[first - 1]}"
        raise ValueError(f"{said} may be {one} or {other} {year}. Write the month as a word, such as {one} {year}.")
    return _day(year, second, first) if day_first else _day(year, first, second)


def _year_and(said: str, year: str, rest: str) -> str | None:
    """2010/11 may be a month or two years; 1998-99 can only be two years."""
    if "-" in said and int(rest) <= 24:
        return None
    both = f"{year}-{year[:2]}{rest}"
    if 1 <= int(rest) <= 12:
        raise ValueError(
            f"{said} may be {MONTHS[int(rest) - 1]} {year}, or two years. Write the month as a word, or {both}."
        )
    raise ValueError(f"{said} is not clear. For two years write both in full: {both}.")


def _decade_or_century(said: str) -> str | None:
    if (found := _UNCLEAR_DECADE.fullmatch(said)) and found[2]:
        raise ValueError(
            f"The {found[1]}00s may be ten years or a hundred. Write {found[1]}0X for ten, {found[1]}XX for a hundred."
        )
    if found and len(said.strip("thes '")) == 2:
        raise ValueError(f"The century of the {found[1]}s is missing. Write four figures, such as 19{found[1]}s.")
    if found := _DECADE.fullmatch(said):
        return f"{found[1]}X"
    if found := _CENTURY.fullmatch(said):
        return f"{found[2]}XX" if found[2] else f"{int(found[1]) - 1:02d}XX"
    return None


def _two_year_season(said: str, habit: Habit) -> str | None:
    """`winter 1998/99`: only a season that goes over New Year on that half of the earth."""
    found = _WINTER_OF_TWO.fullmatch(said)
    if not found:
        return None
    season, year, next_year = found[1], int(found[2]), int(found[3])
    kept = f"{year:04d}-{_SEASON_WORDS[season]}"
    if next_year not in (year + 1, (year + 1) % 100):
        raise ValueError(f"{said} is not one {season}. Write its year, such as {season} {year}.")
    span = read_edtf(kept, south=habit.south)
    if span.earliest and span.latest and span.earliest.year == span.latest.year:
        raise ValueError(f"A {season} lies in one year here. Write {season} {year} or {season} {year + 1}.")
    return kept


def _named(said: str, habit: Habit, lent: str) -> str | None:
    """Day, month, season and year in any usual order: 3 Apr 2011, April 3rd, 2011, summer of 2011, 3.iv.2011."""
    words = [word for word in re.split(r"[ .,/-]+", said) if word and word not in _LEFT_OUT]
    kinds = "".join(_kind(word) for word in words)
    by_kind = dict(zip(kinds, words, strict=True))
    if len(by_kind) < len(words) or "?" in kinds:
        return None
    year = by_kind.get("Y") or lent[:4]
    if "S" in by_kind and kinds in ("SY", "YS", "S") and year:
        return f"{year}-{_SEASON_WORDS[by_kind['S']]}"
    if kinds == "D" and len(lent) == 7:
        return _day(lent[:4], int(lent[5:]), _figure(by_kind["D"]))
    if "M" not in by_kind or kinds not in ("DMY", "MDY", "YMD", "YDM", "MY", "YM", "DM", "MD", "M"):
        return None
    month = _MONTH_WORDS[by_kind["M"]]
    if not year:
        return _year_missing(by_kind, month, habit)
    return _day(year, month, _figure(by_kind["D"])) if "D" in by_kind else f"{year}-{month:02d}"


def _kind(word: str) -> str:
    if re.fullmatch(r"[0-9]{4}", word):
        return "Y"
    if re.fullmatch(r"[0-9]{1,2}(st|nd|rd|th)?", word):
        return "D"
    return "M" if word in _MONTH_WORDS else "S" if word in _SEASON_WORDS else "?"


def _year_missing(by_kind: dict[str, str], month: int, habit: Habit) -> str | None:
    if by_kind["M"] in _ROMAN:
        return None
    year, name = habit.today.year, MONTHS[month - 1]
    if "D" in by_kind:
        day = _figure(by_kind["D"])
        while (month, day) == (2, 29) and not calendar.isleap(year):
            year -= 1
        _day(f"{year:04d}", month, day)
        name = f"{day} {name}"
    raise ValueError(f"The year of {name} is missing. Write it too, such as {name} {year}.")


def _figure(word: str) -> int:
    return int(re.sub("[a-z]+", "", word))


def _day(year: str, month: int, day: int) -> str:
    return _checked(f"{year}-{month:02d}-{day:02d}")


def _checked(kept: str) -> str:
    read_edtf(kept)
    return kept
