"""How days, counts and amounts are said. The rules are the house's own (common practice, no source): dates by day, month, year;
numbers in words to ten; a narrow no-break space before a unit."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from catalog.ground import say

THURSDAY = date(2026, 6, 11)


def plain(text: str) -> str:
    """The words with ordinary spaces, so that the tests can be read."""
    return text.replace(say.THIN, " ").replace(say.FIRM, " ")


def test_a_day_is_said_without_a_leading_nought() -> None:
    assert plain(say.day(date(2026, 4, 9))) == "9 April 2026"


def test_the_weekday_is_that_of_the_calendar() -> None:
    """11 June 2026 is a Thursday, by the standard library's calendar and the sketches of the station's diary."""
    assert plain(say.day_long(THURSDAY)) == f"{THURSDAY:%A} 11 June 2026" == "Thursday 11 June 2026"


def test_within_the_year_a_busy_list_leaves_the_year_out() -> None:
    assert plain(say.day_short(date(2026, 4, 9), THURSDAY)) == "9 Apr"
    assert plain(say.day_short(date(2025, 4, 9), THURSDAY)) == "9 April 2025"


def test_it_is_already_tomorrow_further_east() -> None:
    """At 23:30 in Amsterdam on 11 June the day in Auckland is the 12th (IANA time zones)."""
    at = datetime(2026, 6, 11, 21, 30, tzinfo=UTC)
    assert at.astimezone(ZoneInfo("Europe/Amsterdam")).date() == THURSDAY
    assert plain(say.instant(at, "Europe/Amsterdam", seen_at=at)) == "today 23:30"
    assert plain(say.instant(at, "Pacific/Auckland", seen_at=at)) == "today 09:30"


def test_yesterday_is_the_calendar_day_before_not_twenty_four_hours() -> None:
    late = datetime(2026, 6, 10, 21, 50, tzinfo=UTC)
    early = datetime(2026, 6, 10, 22, 10, tzinfo=UTC)
    assert say.instant(late, "Europe/Amsterdam", seen_at=early) == "yesterday 23:50"
    assert plain(say.instant(late, "Europe/Amsterdam", seen_at=early + timedelta(days=3))) == "10 June 2026, 23:50"


@pytest.mark.parametrize(
    "gap, words",
    [
        (timedelta(seconds=40), "just now"),
        (timedelta(minutes=5, seconds=59), "five minutes ago"),
        (timedelta(hours=1), "one hour ago"),
        (timedelta(days=9), "nine days ago"),
        (timedelta(days=12), "12 days ago"),
        (timedelta(days=65), "two months ago"),
        (timedelta(days=800), "two years ago"),
        (timedelta(hours=-3), "in three hours"),
    ],
)
def test_how_long_ago(gap: timedelta, words: str) -> None:
    seen_at = datetime(2026, 6, 11, 12, tzinfo=UTC)
    assert say.ago(seen_at - gap, seen_at=seen_at) == words


@pytest.mark.parametrize(
    "days, words",
    [
        (9, "in nine days, Saturday 20 June"),
        (1, "tomorrow, Friday 12 June"),
        (0, "today, Thursday 11 June"),
        (-1, "one day late, since Wednesday 10 June"),
        (-4, "four days late, since Sunday 7 June"),
        (365, "in 365 days, Friday 11 June 2027"),
    ],
)
def test_a_due_day_is_said_with_weekday_and_distance(days: int, words: str) -> None:
    assert plain(say.due_words(THURSDAY + timedelta(days=days), THURSDAY)) == words


def test_numbers_are_words_to_ten_in_sentences_and_figures_in_tables() -> None:
    assert [say.plural(n, "piece") for n in (0, 1, 10, 11)] == ["no pieces", "one piece", "ten pieces", "11 pieces"]
    assert [say.plural(n, "piece", words=False) for n in (0, 1, 10)] == ["0 pieces", "1 piece", "10 pieces"]
    assert say.plural(2, "body", "bodies") == "two bodies"


def test_a_list_ends_with_and() -> None:
    assert [say.listed(x) for x in ([], ["a"], ["a", "b"], ["a", "b", "c"])] == ["", "a", "a and b", "a, b and c"]
    assert say.listed(["a", "b", "c"], last="or") == "a, b or c"


@pytest.mark.parametrize(
    "value, words",
    [
        ("1500", "1500"),
        ("46200", "46 200"),
        ("-0.3", "−0.3"),
        ("86.4000", "86.4"),
        ("1E+3", "1000"),
        ("0", "0"),
        ("1234567.25", "1 234 567.25"),
    ],
)
def test_a_figure_has_a_true_minus_and_spaced_thousands(value: str, words: str) -> None:
    assert plain(say.figure(Decimal(value))) == words


def test_a_narrow_space_that_does_not_break_stands_before_the_unit() -> None:
    assert say.mass(Decimal("86.4")) == "86.4\u202fg"


@pytest.mark.parametrize(
    "grams, words",
    [("0.4", "0.4 g"), ("999.9", "999.9 g"), ("1000", "1 kg"), ("3905", "3.905 kg"), ("46200", "46.2 kg")],
)
def test_a_mass_turns_to_kilograms_at_one_kilogram_and_gains_no_digit(grams: str, words: str) -> None:
    assert plain(say.mass(Decimal(grams))) == words


def test_what_nobody_weighed_or_measured_says_so() -> None:
    assert (say.mass(None), say.length(None), say.money(None, "EUR")) == (
        "not weighed",
        "not measured",
        "no value stated",
    )


@pytest.mark.parametrize(
    "mm, words", [("4", "4 mm"), ("620", "62 cm"), ("1180", "118 cm"), ("12400", "12.4 m"), ("99.5", "99.5 mm")]
)
def test_a_length_takes_the_unit_of_its_size(mm: str, words: str) -> None:
    assert plain(say.length(Decimal(mm))) == words


@pytest.mark.parametrize(
    "amount, words",
    [
        ("2400", "2 400 EUR"),
        ("2400.00", "2 400 EUR"),
        ("2400.5", "2 400.50 EUR"),
        ("-0.5", "−0.50 EUR"),
        ("312.345", "312.345 EUR"),
    ],
)
def test_money_never_stands_without_its_currency(amount: str, words: str) -> None:
    assert plain(say.money(Decimal(amount), "EUR")) == words
