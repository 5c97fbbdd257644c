"""Reads EDTF text of level 0 and 1 (Library of Congress, specification of 2019-02-04) to its first and last day.

The months of the seasons are ours, the specification gives none: quarters of the site's half of the earth.
"""

import calendar
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from catalog.ground.edtf.shown import in_words
from catalog.ground.say import MONTHS, capital

UNKNOWN = "XXXX"

Days = tuple[date | None, date | None]

# The first month of seasons 21 to 24 (spring, summer, autumn, winter); each lasts three months.
_NORTH = {21: 3, 22: 6, 23: 9, 24: 12}
_SOUTH = {21: 9, 22: 12, 23: 3, 24: 6}

_TIME = r"T([0-9]{2}):([0-9]{2}):([0-9]{2})(?:Z|[+-](?:0[0-9]|1[0-4])(?::[0-5][0-9])?)?"

_WHAT_TO_WRITE = "Write 1987, 1987-05, 1987-05-03, or a span such as 1998/2003."


@dataclass(frozen=True)
class Span:
    """What an EDTF text says in days. `earliest` and `latest` are both counted; None means no day is known there.

    `uncertain` and `approximate` never widen the days. An open end ("..") has no bound; an unknown one has a bound
    that nobody knows. A year outside 1 to 9999 has no days and no flag. `precision`: `day`, `month`, `season`, `year`,
    `decade`, `century`, `span` or `unknown`.
    """

    text: str
    earliest: date | None
    latest: date | None
    uncertain: bool = False
    approximate: bool = False
    open_start: bool = False
    open_end: bool = False
    unknown_start: bool = False
    unknown_end: bool = False
    precision: str = "span"


def read_edtf(text: str, *, south: bool | None = False) -> Span:
    """Reads EDTF of level 0 or 1. `south`: on the southern half of the earth; None = not known, a season is its year.

    ValueError with a sentence for everything else: level 2, reversed spans, days that do not exist.
    """
    said = text.strip()
    if said == UNKNOWN:
        return Span(said, None, None, unknown_start=True, unknown_end=True, precision="unknown")
    if "/" in said:
        return _interval(said, south)
    return _single(said, south)


def _single(said: str, south: bool | None) -> Span:
    core, mark = (said[:-1], said[-1]) if said.endswith(("?", "~", "%")) else (said, "")
    for form in _FORMS:
        if found := form.pattern.fullmatch(core):
            if mark and not form.takes_mark:
                raise ValueError(f"No about or perhaps (~, ?, %) goes with {in_words(core)}. Write it without.")
            earliest, latest = form.days(found, south)
            return Span(said, earliest, latest, mark in ("?", "%"), mark in ("~", "%"), precision=form.precision)
    raise ValueError(_what_is_wrong(said))


def _interval(said: str, south: bool | None) -> Span:
    if said.count("/") > 1:
        raise ValueError(f"A span has two ends. {_WHAT_TO_WRITE}")
    left, right = said.split("/")
    if left in ("", "..") and right in ("", ".."):
        raise ValueError("A span needs at least one date. Write ../1990 or 1990/.., or XXXX for a date unknown.")
    start, end = (_end(part, south) for part in (left, right))
    if start and end and start.earliest and end.latest and start.earliest > end.latest:
        raise ValueError(f"{capital(in_words(right))} comes before {in_words(left)}. Write {right}/{left}.")
    marks = "".join(part[-1:] for part in (left, right))
    return Span(
        said,
        start.earliest if start else None,
        end.latest if end else None,
        uncertain="?" in marks or "%" in marks,
        approximate="~" in marks or "%" in marks,
        open_start=left == "..",
        open_end=right == "..",
        unknown_start=left == "",
        unknown_end=right == "",
    )


def _end(part: str, south: bool | None) -> Span | None:
    if part in ("", ".."):
        return None
    if "T" in part:
        raise ValueError("A span goes from day to day. Write it without the time, such as 2004-02-01/2004-02-08.")
    span = _single(part, south)
    if "X" in part:
        raise ValueError("The ends of a span are written without X. Write years, such as 1980/1989.")
    if span.earliest is None:
        raise ValueError("The ends of a span are years from 0001 to 9999, such as 1998/2003.")
    return span


def _year_days(found: re.Match[str], south: bool | None) -> Days:
    year = _year(found[1])
    return date(year, 1, 1), date(year, 12, 31)


def _month_days(found: re.Match[str], south: bool | None) -> Days:
    year, month = _year(found[1]), int(found[2])
    if 25 <= month <= 41:
        raise ValueError(f"Only the seasons 21 to 24 are kept here. Write {year:04d}-21 for spring {year}, or a month.")
    _check_month(year, month)
    return date(year, month, 1), date(year, month, calendar.monthrange(year, month)[1])


def _season_days(found: re.Match[str], south: bool | None) -> Days:
    if south is None:
        return _year_days(found, south)
    year = _year(found[1])
    first = (_SOUTH if south else _NORTH)[int(found[2])]
    if first < 12:
        return date(year, first, 1), date(year, first + 2, calendar.monthrange(year, first + 2)[1])
    if year == date.max.year:
        return date(year, 12, 1), date.max
    return date(year, 12, 1), date(year + 1, 2, calendar.monthrange(year + 1, 2)[1])


def _day_days(found: re.Match[str], south: bool | None) -> Days:
    year, month, day = _year(found[1]), int(found[2]), int(found[3])
    _check_month(year, month)
    if not 1 <= day <= calendar.monthrange(year, month)[1]:
        raise ValueError(_no_such_day(year, month, day))
    return date(year, month, day), date(year, month, day)


def _time_days(found: re.Match[str], south: bool | None) -> Days:
    """The day as it is written; the time of day and its zone do not move it."""
    if int(found[4]) > 23 or int(found[5]) > 59 or int(found[6]) > 59:
        raise ValueError("There is no such time of day. Write hours 00 to 23, minutes and seconds 00 to 59.")
    return _day_days(found, south)


def _decade_days(found: re.Match[str], south: bool | None) -> Days:
    first, last = _year(found[1] + "0", least=0), _year(found[1] + "9")
    return date(max(first, 1), 1, 1), date(last, 12, 31)


def _century_days(found: re.Match[str], south: bool | None) -> Days:
    first, last = _year(found[1] + "00", least=0), _year(found[1] + "99")
    return date(max(first, 1), 1, 1), date(last, 12, 31)


def _no_days(found: re.Match[str], south: bool | None) -> Days:
    return None, None


def _year(figures: str, *, least: int = 1) -> int:
    if int(figures) < least:
        raise ValueError("There is no year 0000. Write the year in four figures, such as 1987.")
    return int(figures)


def _check_month(year: int, month: int) -> None:
    if not 1 <= month <= 12:
        raise ValueError(f"There is no month {month:02d}. Write a month from 01 to 12, such as {year:04d}-05.")


def _no_such_day(year: int, month: int, day: int) -> str:
    name, last = MONTHS[month - 1], calendar.monthrange(year, month)[1]
    if not 1 <= day <= 31:
        return f"There is no day {day:02d}. Write a day from 01 to {last}, or only {name} {year}."
    leap_day = f" {year}" if (month, day) == (2, 29) else ""
    return f"{day} {name}{leap_day} does not exist. Write {last} {name} {year}, or only {name} {year}."


class _Form(NamedTuple):
    precision: str
    pattern: re.Pattern[str]
    days: Callable[[re.Match[str], bool | None], Days]
    takes_mark: bool = False


_FORMS = [
    _Form("year", re.compile(r"([0-9]{4})"), _year_days, takes_mark=True),
    _Form("season", re.compile(r"([0-9]{4})-(2[1-4])"), _season_days),
    _Form("month", re.compile(r"([0-9]{4})-([0-9]{2})"), _month_days, takes_mark=True),
    _Form("day", re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})"), _day_days, takes_mark=True),
    _Form("decade", re.compile(r"([0-9]{3})X"), _decade_days),
    _Form("century", re.compile(r"([0-9]{2})XX"), _century_days),
    _Form("year", re.compile(r"([0-9]{4})-XX(?:-XX)?"), _year_days),
    _Form("month", re.compile(r"([0-9]{4})-([01][0-9])-XX"), _month_days),
    _Form("day", re.compile(f"([0-9]{{4}})-([0-9]{{2}})-([0-9]{{2}}){_TIME}"), _time_days),
    _Form("year", re.compile(r"Y-?[1-9][0-9]{4,14}"), _no_days),
    _Form("year", re.compile(r"-(?!0000)[0-9]{4}"), _no_days),
]

_HINTS = [
    (r"", "The date is empty. " + _WHAT_TO_WRITE),
    (r"[0-9xX/-]*x[0-9xX/-]*", "An unknown figure is a capital X, such as 198X or 1985-04-XX."),
    (r"[0-9]{8}", "A date is written with hyphens, such as 1985-04-12."),
    (r"[0-9]{4}-[0-9]{1,2}(-[0-9]{1,2})?", "Month and day have two figures each, such as 1985-04-12."),
    (r"Y[0-9-].*", "Y stands only before a year of more than four figures. Write the year alone, such as 1987."),
    (r"[0-9].*T.*", "A time is written in full, such as 1985-04-12T23:20:30, or left out."),
    (r".*X.*", "An X stands for the last figures only: 198X, 19XX, 1985-XX or 1985-04-XX."),
    (
        r".*[?~%{}\[\],].*|.*\.\..*",
        "Lists and marks inside a date are not kept here; ?, ~ or % stands at the end: 1987~.",
    ),
]


def _what_is_wrong(said: str) -> str:
    for pattern, sentence in _HINTS:
        if re.fullmatch(pattern, said):
            return sentence
    return f"'{said[:40]}' is not a date in figures. {_WHAT_TO_WRITE}"
