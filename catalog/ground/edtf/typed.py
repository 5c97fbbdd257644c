"""What people type for a date, made into EDTF text: whole entries, marks and spans. Single dates: `single.py`."""

import re
from datetime import date

from catalog.ground.edtf.reading import UNKNOWN, read_edtf
from catalog.ground.edtf.shown import in_words
from catalog.ground.edtf.single import Habit, lends, single_date
from catalog.ground.say import capital

_LONGEST = 100  # characters of a typed date; more is a note

_UNKNOWN_WORDS = {
    "unknown",
    "not known",
    "date unknown",
    "unknown date",
    "no date",
    "undated",
    "n.d.",
    "nd",
    "?",
    "xxxx",
}
_ABOUT_FIRST = re.compile(r"(?:about|around|approximately|approx\.?|roughly|circa|ca?\.|ca?(?=[ 0-9])|~) *(.+)")
_ABOUT_LAST = re.compile(r"(.+?)(?: or so|,? approx\.?|,? \(?approximate(?:ly)?\)?| *~)")
_PERHAPS_FIRST = re.compile(r"(?:perhaps|maybe|possibly|probably|uncertain:?) +(.+)")
_PERHAPS_LAST = re.compile(r"(.+?)(?: *\(\?\)| *\?|,? \(?uncertain\)?|,? perhaps)")
_BEFORE = re.compile(r"(?:before|until|till|up to|by|not after) +(.+)|(.+?) or earlier")
_AFTER = re.compile(r"(?:after|since|from|not before) +(.+)|(.+?)(?: or later| onwards?)")
_BETWEEN = re.compile(r"between +(.+?) +and +(.+)")
_FROM_TO = re.compile(r"(?:from +)?(.+?)(?: +(?:to|until|till|through) +| *[\u2013\u2014] *| +- +)(.+)")
_SHORT_SPAN = re.compile(r"([^/-]+)[/-]([^/-]+)")
_EDTF_SIGNS = re.compile(r"[0-9XYTZ?~%./+:{}\[\],-]*[0-9X][0-9XYTZ?~%./+:{}\[\],-]*", re.IGNORECASE)


def from_words(
    text: str,
    *,
    today: date,
    day_first: bool | None = None,
    past_only: bool = True,
    south: bool | None = False,
) -> str:
    """EDTF text for what was typed; empty stays empty, EDTF passes as it is.

    `day_first` settles 3/4/2011; None asks back. `past_only` refuses what has not come yet. `south`: half of the earth
    that the seasons are of. ValueError: one sentence with what to write.
    """
    said = " ".join(text.split())
    if not said:
        return ""
    kept = None
    if len(said) <= _LONGEST:
        kept = _as_edtf(said, south) or _understood(said.lower(), Habit(today, day_first, south))
    if kept is None:
        raise ValueError(_not_read(said, south))
    read_edtf(kept, south=south)
    if past_only:
        _refuse_what_has_not_come(kept, today, south)
    return kept


def doubts(text: str, *, today: date, south: bool | None = False) -> list[str]:
    """Sentences about an EDTF text that may be meant otherwise: it is kept all the same."""
    if not text.strip():
        return []
    span, said = read_edtf(text, south=south), []
    if span.precision == "season" and span.earliest and span.latest and span.latest.year > span.earliest.year:
        year, season = span.earliest.year, in_words(text).split()[0]
        said.append(
            f"{season.capitalize()} {year} is read as December {year} to February {year + 1}. "
            f"For the first months of {year}, write {season} {year - 1}."
        )
    if span.earliest and span.earliest > today:
        said.append(f"{capital(in_words(text))} has not come yet.")
    first = span.earliest or span.latest
    if first and first.year < 1700:
        said.append(f"{first.year} is long ago. Is the year as it should be?")
    return said


def _as_edtf(said: str, south: bool | None) -> str | None:
    try:
        return read_edtf(said, south=south).text
    except ValueError:
        return None


def _understood(said: str, habit: Habit) -> str | None:
    if said in _UNKNOWN_WORDS:
        return UNKNOWN
    if found := _BETWEEN.fullmatch(said):
        return _span(found[1], found[2], habit)
    core, mark = _without_marks(said)
    kept = single_date(core, habit) or _bounded(core, habit) or _from_to(core, habit)
    return _marked(kept, mark) if kept else None


def _without_marks(said: str) -> tuple[str, str]:
    """Takes words like `about` and `perhaps` off both ends; returns the rest and the EDTF mark."""
    about = perhaps = False
    while True:
        if found := _PERHAPS_FIRST.fullmatch(said) or _PERHAPS_LAST.fullmatch(said):
            said, perhaps = found[1], True
        elif found := _ABOUT_FIRST.fullmatch(said) or _ABOUT_LAST.fullmatch(said):
            said, about = found[1], True
        elif said.endswith("%"):
            said, about, perhaps = said[:-1], True, True
        else:
            return said, "%" if about and perhaps else "~" if about else "?" if perhaps else ""


def _marked(kept: str, mark: str) -> str:
    """Sets the mark on each date of the text; a date that has one gets both meanings."""
    if not mark:
        return kept
    ends = []
    for end in kept.split("/"):
        had = end[-1:] if end.endswith(("?", "~", "%")) else ""
        both = mark if had in ("", mark) else "%"
        ends.append(end if end == ".." else end.removesuffix(had) + both)
    return "/".join(ends)


def _bounded(said: str, habit: Habit) -> str | None:
    if found := _BEFORE.fullmatch(said):
        end = _end(found[1] or found[2], habit, last=True)
        return f"../{end}" if end else None
    if found := _AFTER.fullmatch(said):
        start = _end(found[1] or found[2], habit)
        return f"{start}/.." if start else None
    return None


def _from_to(said: str, habit: Habit) -> str | None:
    for form in (_FROM_TO, _SHORT_SPAN):
        if (found := form.fullmatch(said)) and (kept := _span(found[1], found[2], habit)):
            return kept
    return None


def _span(left: str, right: str, habit: Habit) -> str | None:
    """The first end borrows month and year of the second: 3-5 April 2011, April to June 2011."""
    end = _end(right, habit, last=True)
    start = _end(left, habit, lent=lends(end)) if end else None
    if not start or not end:
        return None
    kept = start if start == end else f"{start}/{end}"
    try:
        read_edtf(kept, south=habit.south)
    except ValueError as wrong:
        if "comes before" not in str(wrong):
            raise
        in_order = in_words(f"{end}/{start}")
        raise ValueError(f"{capital(in_words(end))} comes before {in_words(start)}. Write {in_order}.") from None
    return kept


def _end(said: str, habit: Habit, *, last: bool = False, lent: str = "") -> str | None:
    """One end of a span as EDTF; a decade or century gives its first or last year."""
    core, mark = _without_marks(said)
    kept = single_date(core, habit, lent=lent)
    if kept is None:
        return None
    span = read_edtf(kept, south=habit.south)
    day = span.latest if last else span.earliest
    if day and span.precision in ("decade", "century"):
        kept = f"{day.year:04d}"
    return _marked(kept, mark)


def _refuse_what_has_not_come(kept: str, today: date, south: bool | None) -> None:
    for part in kept.split("/"):
        if part in ("", "..", UNKNOWN):
            continue
        span = read_edtf(part, south=south)
        if (span.earliest and span.earliest > today) or re.match(r"Y[0-9]", part):
            last = in_words(today.isoformat())
            raise ValueError(f"{capital(in_words(part))} has not come yet. Write a date up to today, {last}.")


def _not_read(said: str, south: bool | None) -> str:
    if len(said) <= _LONGEST and _EDTF_SIGNS.fullmatch(said):
        try:
            read_edtf(said, south=south)
        except ValueError as wrong:
            return str(wrong)
    clipped = said if len(said) <= 40 else said[:39] + "\u2026"
    return (
        f"We cannot read '{clipped}'. Write a year, a month, or words like "
        '"about 1987", "summer 2011", "before 1990".'
    )
