"""EDTF of level 0 and 1 against the published examples and two other readers.

Source of the list: Library of Congress, Extended Date/Time Format specification, 2019-02-04, quoted in part by way of the
test file of the `edtf` package. The months of seasons are a rule of ours, the specification gives none.
Second opinion: `edtf` 5.0.2 and `edtf-validate` 2.0.0. Where they are wrong they are not asked, and the trap is named.
"""

from datetime import date

import edtf
import pytest
from edtf_validate.valid_edtf import isLevel0, isLevel1
from hypothesis import given
from hypothesis import strategies as st

from catalog.ground.edtf import Span, read_edtf

PUBLISHED = {
    "1985-04-12": ("1985-04-12", "1985-04-12"),
    "1985-04": ("1985-04-01", "1985-04-30"),
    "1985": ("1985-01-01", "1985-12-31"),
    "1985-04-12T23:20:30": ("1985-04-12", "1985-04-12"),
    "1985-04-12T23:20:30Z": ("1985-04-12", "1985-04-12"),
    "1985-04-12T23:20:30-04": ("1985-04-12", "1985-04-12"),
    "1985-04-12T23:20:30+04:30": ("1985-04-12", "1985-04-12"),
    "1964/2008": ("1964-01-01", "2008-12-31"),
    "2004-06/2006-08": ("2004-06-01", "2006-08-31"),
    "2004-02-01/2005-02-08": ("2004-02-01", "2005-02-08"),
    "2004-02-01/2005-02": ("2004-02-01", "2005-02-28"),
    "2004-02-01/2005": ("2004-02-01", "2005-12-31"),
    "2005/2006-02": ("2005-01-01", "2006-02-28"),
    "1984?": ("1984-01-01", "1984-12-31"),
    "1984~": ("1984-01-01", "1984-12-31"),
    "1984%": ("1984-01-01", "1984-12-31"),
    "2004-06~": ("2004-06-01", "2004-06-30"),
    "2004-06-11%": ("2004-06-11", "2004-06-11"),
    "201X": ("2010-01-01", "2019-12-31"),
    "20XX": ("2000-01-01", "2099-12-31"),
    "2004-XX": ("2004-01-01", "2004-12-31"),
    "1985-04-XX": ("1985-04-01", "1985-04-30"),
    "1985-XX-XX": ("1985-01-01", "1985-12-31"),
    "1984~/2004-06": ("1984-01-01", "2004-06-30"),
    "1984/2004-06~": ("1984-01-01", "2004-06-30"),
    "1984?/2004%": ("1984-01-01", "2004-12-31"),
    "2001-21": ("2001-03-01", "2001-05-31"),
    "2001-22": ("2001-06-01", "2001-08-31"),
    "2001-23": ("2001-09-01", "2001-11-30"),
}
OPEN_OR_UNKNOWN = {
    "1985-04-12/..": ("1985-04-12", None),
    "1985-04/..": ("1985-04-01", None),
    "1985/..": ("1985-01-01", None),
    "../1985-04-12": (None, "1985-04-12"),
    "../1985": (None, "1985-12-31"),
    "1985-04-12/": ("1985-04-12", None),
    "1985/": ("1985-01-01", None),
    "/1985-04-12": (None, "1985-04-12"),
    "/1985": (None, "1985-12-31"),
}
OUTSIDE_THE_CALENDAR = ["Y170000002", "Y-170000002", "-1985"]

# Refused by edtf-validate as well.
NEITHER_LEVEL = [
    *("2026-13", "2026-00", "2026-02-30", "2026-04-31", "2026-01-00", "2023-06-45", "1985-4-12", "1985-4", "20260503"),
    *("196x", "1985-04-xx", "Y1998", "y170000002", "1985-04-12T23:20/1986", "1985-04-12T25:00:00", "1985-04-12T23:20"),
    *("/", "", " ", "May 1998", "85", "1985?~", "1985 ", "1985-04-12/1986/1987", "201X?", "Y17000?", "spring tide"),
]
LEVEL_2 = [
    *(
        "{1998,1999}",
        "[1998,1999]",
        "?1998",
        "2004-?06",
        "156X-12-25",
        "1XXX",
        "1XXX-12",
        "1984-1X",
        "XXXX-12-XX",
        "Y-17E7",
    ),
    *("2001-25", "2001-41", "1950S2", "2001-21~", "2004-06-XX/2004-07-03", "199X/2004", "2004-06-~01/2004-06-~20"),
]


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


@pytest.mark.parametrize("text, days", [*PUBLISHED.items(), *OPEN_OR_UNKNOWN.items()])
def test_a_published_example_has_its_days(text: str, days: tuple[str | None, str | None]) -> None:
    span = read_edtf(text)
    assert (span.earliest, span.latest) == (_day(days[0]), _day(days[1]))
    assert span.text == text


@pytest.mark.parametrize("text", [*PUBLISHED, *OPEN_OR_UNKNOWN, *OUTSIDE_THE_CALENDAR])
def test_what_we_read_both_libraries_read(text: str) -> None:
    assert edtf.parse_edtf(text) is not None
    assert isLevel0(text) or isLevel1(text)


# edtf gives winter as December only and is not asked for seasons; for open and unknown ends it adds ten years or raises.
@pytest.mark.parametrize("text", PUBLISHED)
def test_the_strict_days_of_the_other_reader_are_ours(text: str) -> None:
    theirs, ours = edtf.parse_edtf(text), read_edtf(text)
    assert date(*theirs.lower_strict()[:3]) == ours.earliest
    assert date(*theirs.upper_strict()[:3]) == ours.latest


@pytest.mark.parametrize("text", [text for text in NEITHER_LEVEL if text != "1985 "])
def test_what_is_no_edtf_is_refused_by_us_and_by_the_validator(text: str) -> None:
    assert not isLevel0(text)
    assert not isLevel1(text)
    with pytest.raises(ValueError, match=r"^[A-Z0-9'].*\.$"):
        read_edtf(text)


@pytest.mark.parametrize("text", LEVEL_2)
def test_level_2_is_refused(text: str) -> None:
    assert not isLevel0(text)
    assert not isLevel1(text)
    with pytest.raises(ValueError, match=r"^[A-Z0-9'].*\.$"):
        read_edtf(text)


# Traps, each taken by one of the libraries or by both: no leap year; reversed (edtf, and isLevel0 of edtf-validate);
# year 0000; hour 24; a span with no date at all.
@pytest.mark.parametrize(
    "text",
    [
        "2026-02-29",
        "1900-02-29",
        "1998/1990",
        "1990/1985",
        "2004-06/2004-05-31",
        "0000",
        "1985-04-12T24:00:00",
        "../..",
    ],
)
def test_what_the_libraries_let_through_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"\.$"):
        read_edtf(text)


@given(st.integers(1, 9999), st.integers(0, 14), st.integers(0, 33))
def test_a_day_is_read_exactly_when_the_calendar_has_it(year: int, month: int, day: int) -> None:
    text = f"{year:04d}-{month:02d}-{day:02d}"
    try:
        there = date(year, month, day)
    except ValueError:
        with pytest.raises(ValueError, match=r"Write"):
            read_edtf(text)
    else:
        assert read_edtf(text) == Span(text, there, there, precision="day")


@pytest.mark.parametrize(
    "text, north, south",
    [
        ("2001-21", ("2001-03-01", "2001-05-31"), ("2001-09-01", "2001-11-30")),
        ("2001-22", ("2001-06-01", "2001-08-31"), ("2001-12-01", "2002-02-28")),
        ("2001-23", ("2001-09-01", "2001-11-30"), ("2001-03-01", "2001-05-31")),
        ("2003-24", ("2003-12-01", "2004-02-29"), ("2003-06-01", "2003-08-31")),
    ],
)
def test_a_season_is_a_quarter_of_the_sites_half_of_the_earth(
    text: str, north: tuple[str, str], south: tuple[str, str]
) -> None:
    """Rule of ours."""
    for half, days in ((False, north), (True, south)):
        span = read_edtf(text, south=half)
        assert (span.earliest, span.latest) == (_day(days[0]), _day(days[1]))
    nowhere = read_edtf(text, south=None)
    assert (nowhere.earliest, nowhere.latest) == (date(int(text[:4]), 1, 1), date(int(text[:4]), 12, 31))


def test_a_mark_is_told_and_never_widens() -> None:
    marks = {mark: read_edtf(f"1984{mark}") for mark in ("", "?", "~", "%")}
    assert {mark: (s.uncertain, s.approximate) for mark, s in marks.items()} == {
        "": (False, False),
        "?": (True, False),
        "~": (False, True),
        "%": (True, True),
    }
    assert len({(s.earliest, s.latest) for s in marks.values()}) == 1
    either = read_edtf("1984~/2004?")
    assert (either.uncertain, either.approximate) == (True, True)


def test_a_span_may_end_in_the_year_or_month_it_began_in() -> None:
    """Rule of ours: reversed is only what ends wholly before it begins."""
    for text, days in {
        "2004-06/2004": ("2004-06-01", "2004-12-31"),
        "2004-06-15/2004-06": ("2004-06-15", "2004-06-30"),
        "2004/2004-06": ("2004-01-01", "2004-06-30"),
    }.items():
        span = read_edtf(text)
        assert (span.earliest, span.latest) == (_day(days[0]), _day(days[1]))


def test_an_open_end_is_not_an_unknown_end() -> None:
    assert (read_edtf("1985/..").open_end, read_edtf("1985/..").unknown_end) == (True, False)
    assert (read_edtf("1985/").open_end, read_edtf("1985/").unknown_end) == (False, True)
    assert (read_edtf("../1985").open_start, read_edtf("/1985").unknown_start) == (True, True)


def test_a_date_unknown_is_kept_with_no_days() -> None:
    """`XXXX` is level 2 to edtf-validate; it is kept here for "date unknown" and stands alone."""
    assert read_edtf("XXXX") == Span("XXXX", None, None, unknown_start=True, unknown_end=True, precision="unknown")


@pytest.mark.parametrize("text", OUTSIDE_THE_CALENDAR)
def test_a_year_outside_the_calendar_is_kept_without_days(text: str) -> None:
    assert read_edtf(text) == Span(text, None, None, precision="year")


@pytest.mark.parametrize(
    "text, precision",
    [
        *(("1985-04-12", "day"), ("1985-04-12T23:20:30Z", "day"), ("1985-04~", "month"), ("1985-04-XX", "month")),
        *(("2001-21", "season"), ("1985?", "year"), ("1985-XX-XX", "year"), ("201X", "decade"), ("20XX", "century")),
        *(("1984/2004", "span"), ("1985/..", "span")),
    ],
)
def test_how_finely_a_date_is_known(text: str, precision: str) -> None:
    assert read_edtf(text).precision == precision


@pytest.mark.parametrize(
    "text, sentence",
    [
        ("2026-02-31", "31 February does not exist. Write 28 February 2026, or only February 2026."),
        ("2026-02-29", "29 February 2026 does not exist. Write 28 February 2026, or only February 2026."),
        ("2024-02-30", "30 February does not exist. Write 29 February 2024, or only February 2024."),
        ("2026-13", "There is no month 13. Write a month from 01 to 12, such as 2026-05."),
        ("1998/1990", "1990 comes before 1998. Write 1990/1998."),
        ("196x", "An unknown figure is a capital X, such as 198X or 1985-04-XX."),
        ("20260503", "A date is written with hyphens, such as 1985-04-12."),
    ],
)
def test_a_refusal_says_what_to_write(text: str, sentence: str) -> None:
    with pytest.raises(ValueError) as refused:
        read_edtf(text)
    assert str(refused.value) == sentence
