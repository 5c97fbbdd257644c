"""What people type for a date. The readings are rules of ours; the EDTF they give is checked in tests/outside."""

from datetime import date

import pytest
from edtf_validate.valid_edtf import isLevel0, isLevel1
from hypothesis import given
from hypothesis import strategies as st

from catalog.ground.edtf import doubts, from_words, in_words, read_edtf

TODAY = date(2026, 6, 11)

UNDERSTOOD = {
    **dict.fromkeys(
        ("3 Apr 2011", "3.4.2011", "2011-04-03", "3. 4. 2011", "3rd of April 2011", "April 3, 2011"), "2011-04-03"
    ),
    **dict.fromkeys(("3.iv.2011", "3-IV-2011", "3-Apr-2011", "2011 April 3", "2011.4.3", "2011-4-3"), "2011-04-03"),
    **dict.fromkeys(("13/4/2011", "4/13/2011", "13-4-2011"), "2011-04-13"),
    "3/3/2011": "2011-03-03",
    **dict.fromkeys(("April 2011", "Apr. 2011", "iv.2011", "4/2011", "2011-04", "in April 2011"), "2011-04"),
    "2011": "2011",
    **dict.fromkeys(
        ("about 1987", "c. 1987", "c 1987", "ca. 1987", "~1987", "1987~", "circa 1987", "1987 or so"), "1987~"
    ),
    **dict.fromkeys(("1987?", "perhaps 1987", "probably 1987", "1987 (?)", "1987, uncertain"), "1987?"),
    **dict.fromkeys(("c. 1987?", "perhaps about 1987", "1987%"), "1987%"),
    "about April 2011": "2011-04~",
    **dict.fromkeys(("summer 2011", "Summer of 2011", "2011 summer", "2011-22"), "2011-22"),
    "fall 2011": "2011-23",
    **dict.fromkeys(("winter 1998/99", "winter 1998-1999", "winter 1998"), "1998-24"),
    **dict.fromkeys(("1980s", "the 1980s", "1980's", "198x", "198X"), "198X"),
    **dict.fromkeys(("19xx", "19XX", "20th century"), "19XX"),
    **dict.fromkeys(
        ("between 1998 and 2003", "1998-2003", "1998–2003", "1998 - 2003", "from 1998 to 2003"), "1998/2003"
    ),
    "1998/2003": "1998/2003",
    **dict.fromkeys(("3-5 April 2011", "3 to 5 April 2011", "between 3 and 5 April 2011"), "2011-04-03/2011-04-05"),
    "April to June 2011": "2011-04/2011-06",
    "30 April - 2 May 2011": "2011-04-30/2011-05-02",
    "December 2010 to February 2011": "2010-12/2011-02",
    "between about 1984 and June 2004": "1984~/2004-06",
    "about 1998-2003": "1998~/2003~",
    "between the 1980s and the 1990s": "1980/1999",
    "autumn 2011 - spring 2012": "2011-23/2012-21",
    "between 1998 and 1998": "1998",
    **dict.fromkeys(("before 1990", "until 1990", "1990 or earlier"), "../1990"),
    **dict.fromkeys(("after 1990", "since 1990", "from 1990", "1990 or later", "1990 onwards"), "1990/.."),
    "since summer 2011": "2011-22/..",
    **dict.fromkeys(("unknown", "Date unknown", "n.d.", "undated", "XXXX"), "XXXX"),
    **dict.fromkeys(("", "  "), ""),
    "today": "2026-06-11",
    "yesterday": "2026-06-10",
}

ANSWERED = {
    "31 February 2026": "31 February does not exist. Write 28 February 2026, or only February 2026.",
    "31 February": "31 February does not exist. Write 28 February 2026, or only February 2026.",
    "29.2.2026": "29 February 2026 does not exist. Write 28 February 2026, or only February 2026.",
    "31 April 2011": "31 April does not exist. Write 30 April 2011, or only April 2011.",
    "3/4/2011": "3/4/2011 may be 3 April or 4 March 2011. Write the month as a word, such as 3 April 2011.",
    "3 April": "The year of 3 April is missing. Write it too, such as 3 April 2026.",
    "29 February": "The year of 29 February is missing. Write it too, such as 29 February 2024.",
    "3.4.11": "The year of 3.4.11 is not clear. Write it with four figures, such as 3 April 2011.",
    "2010/11": "2010/11 may be November 2010, or two years. Write the month as a word, or 2010-2011.",
    "1998-99": "1998-99 is not clear. For two years write both in full: 1998-1999.",
    "1900s": "The 1900s may be ten years or a hundred. Write 190X for ten, 19XX for a hundred.",
    "80s": "The century of the 80s is missing. Write four figures, such as 1980s.",
    "between 2003 and 1998": "1998 comes before 2003. Write between 1998 and 2003.",
    "2026-13": "There is no month 13. Write a month from 01 to 12, such as 2026-05.",
    "spring tide": (
        "We cannot read 'spring tide'. Write a year, a month, or words like "
        '"about 1987", "summer 2011", "before 1990".'
    ),
    "3 April 2031": "3 April 2031 has not come yet. Write a date up to today, 11 June 2026.",
    "12 June 2026": "12 June 2026 has not come yet. Write a date up to today, 11 June 2026.",
    "summer 2027": "Summer 2027 has not come yet. Write a date up to today, 11 June 2026.",
    "before 2030": "2030 has not come yet. Write a date up to today, 11 June 2026.",
    "about summer 2011": "No about or perhaps (~, ?, %) goes with summer 2011. Write it without.",
}


@pytest.mark.parametrize("typed, kept", UNDERSTOOD.items())
def test_a_typed_date_is_kept_as_edtf(typed: str, kept: str) -> None:
    assert from_words(typed, today=TODAY) == kept


@pytest.mark.parametrize("kept", sorted(set(UNDERSTOOD.values()) - {"", "XXXX"}))
def test_what_is_kept_is_level_0_or_1_to_another_reader(kept: str) -> None:
    assert isLevel0(kept) or isLevel1(kept)


@pytest.mark.parametrize("typed, sentence", ANSWERED.items())
def test_what_cannot_be_kept_is_answered_with_what_to_write(typed: str, sentence: str) -> None:
    with pytest.raises(ValueError) as refused:
        from_words(typed, today=TODAY)
    assert str(refused.value) == sentence


@pytest.mark.parametrize(
    "typed",
    ["١٩٨٧", "Nest 7", "1 2 3", "v", "87", "19877", "April April 2011", "to", "before", "-", "/", "about " * 5000],
)
def test_what_is_no_date_is_not_guessed_at(typed: str) -> None:
    with pytest.raises(ValueError, match=r"\.$"):
        from_words(typed, today=TODAY)


def test_the_order_of_day_and_month_is_settled_by_the_language_only_where_it_is_open() -> None:
    assert from_words("3/4/2011", today=TODAY, day_first=True) == "2011-04-03"
    assert from_words("3/4/2011", today=TODAY, day_first=False) == "2011-03-04"
    assert from_words("3.4.2011", today=TODAY, day_first=False) == "2011-04-03"
    assert from_words("13/4/2011", today=TODAY, day_first=False) == "2011-04-13"


def test_a_planned_date_may_lie_ahead() -> None:
    assert from_words("3 April 2031", today=TODAY, past_only=False) == "2031-04-03"
    assert from_words("2026", today=TODAY) == "2026", "a year that has begun is not ahead"
    assert from_words("since 2020", today=TODAY) == "2020/..", "an open end is not ahead"


def test_a_southern_summer_goes_over_new_year_and_a_northern_one_does_not() -> None:
    assert from_words("summer 1998/99", today=TODAY, south=True) == "1998-22"
    with pytest.raises(ValueError, match="one year here"):
        from_words("summer 1998/99", today=TODAY)


@pytest.mark.parametrize(
    "kept, words",
    [
        *(("1987~", "about 1987"), ("1987?", "1987, uncertain"), ("1987%", "about 1987, uncertain")),
        *(("2011-04-03", "3 April 2011"), ("2011-04", "April 2011"), ("2011-22", "summer 2011"), ("198X", "the 1980s")),
        *(("1998/2003", "between 1998 and 2003"), ("../1990", "before 1990"), ("1990/..", "after 1990")),
        *(("1985/", "from 1985, end not known"), ("/1985", "up to 1985, beginning not known")),
        *(("1985-04-XX", "April 1985, day not known"), ("1985-XX-XX", "1985, day not known")),
        *(("1985-XX", "1985, month not known"), ("19XX", "between 1900 and 1999"), ("XXXX", "date unknown")),
        *(("", "date unknown"), ("1984~/2004-06", "between about 1984 and June 2004"), ("Y170000002", "170000002")),
        *(("1985-04-12T23:20:30Z", "12 April 1985, 23:20:30Z"), ("-1985", "the year −1985")),
    ],
)
def test_a_kept_date_is_shown_in_words(kept: str, words: str) -> None:
    assert in_words(kept) == words


_days = st.dates(date(1000, 1, 1), TODAY)
_single = st.one_of(
    st.builds(lambda d, mark: f"{d}{mark}", _days, st.sampled_from(["", "?", "~", "%"])),
    st.builds(lambda d, mark: f"{d:%Y-%m}{mark}", _days, st.sampled_from(["", "?", "~", "%"])),
    st.builds(lambda d, mark: f"{d:%Y}{mark}", _days, st.sampled_from(["", "?", "~", "%"])),
    st.builds(lambda d, season: f"{d.year - 1}-{season}", st.dates(date(1002, 1, 1), TODAY), st.integers(21, 24)),
)


@given(
    st.one_of(
        _single, _single.map("../{}".format), _single.map("{}/..".format), st.tuples(_single, _single).map("/".join)
    )
)
def test_the_words_shown_can_be_typed_again(kept: str) -> None:
    try:
        read_edtf(kept)
    except ValueError:
        return
    left, _, right = kept.partition("/")
    assert from_words(in_words(kept), today=TODAY) == (left if left == right else kept)


@given(st.text(max_size=40))
def test_any_text_is_kept_or_answered(typed: str) -> None:
    assert _kept_or_answered(typed)


def _kept_or_answered(typed: str) -> bool:
    try:
        kept = from_words(typed, today=TODAY)
    except ValueError as refused:
        return str(refused).endswith(".")
    return kept == "" or read_edtf(kept).text == kept


def test_what_may_be_meant_otherwise_is_doubted_and_kept() -> None:
    assert doubts("1998-24", today=TODAY) == [
        "Winter 1998 is read as December 1998 to February 1999. For the first months of 1998, write winter 1997."
    ]
    assert doubts("1998-24", today=TODAY, south=True) == []
    assert doubts("1687", today=TODAY) == ["1687 is long ago. Is the year as it should be?"]
    assert doubts("2028", today=TODAY) == ["2028 has not come yet."]
    assert doubts("2011-04-03", today=TODAY) == doubts("", today=TODAY) == doubts("XXXX", today=TODAY) == []
