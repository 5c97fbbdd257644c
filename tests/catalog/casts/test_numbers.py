"""Numbers of casts, pieces and entries as a collection gives, types and scans them. Rules of ours (vocabulary)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.casts.numbers import (
    ACCESSION,
    ENTRY,
    check_pattern,
    entry_object,
    give,
    normalise,
    public_path_part,
    read,
)


def test_a_number_is_given_after_the_pattern_of_the_collection() -> None:
    assert give(ACCESSION, 2026, 14) == "2026.14"
    assert give(ENTRY, 2026, 14) == "E-2026-14"
    assert give("{n}", 2026, 14) == "14"
    for year, n in ((2026, 0), (26, 1), (2026, 1_000_000_000)):
        with pytest.raises(ValueError, match="No number is given"):
            give(ACCESSION, year, n)


@given(
    st.sampled_from([ACCESSION, ENTRY, "{n}-{year}", "TM{year}.{n}", "{year}_n_{n}"]),
    st.integers(1000, 9999),
    st.integers(1, 999_999_999),
)
def test_a_number_given_is_read_back(pattern: str, year: int, n: int) -> None:
    assert check_pattern(pattern) == []
    assert read(pattern, give(pattern, year, n)) == (year, n)
    assert read(pattern, give(pattern, year, n).lower()) == (year, n)


def test_what_the_pattern_never_gives_is_not_read() -> None:
    assert read("{n}", "14") == (None, 14)
    for text in (
        "2026.014",
        "2026.0",
        "2026.14.1",
        "26.14",
        "2026 14",
        "2026.14b",
        "E-2026-14",
        "٢٠٢٦.١٤",
        "",
        "2026.14\n",
    ):
        assert read(ACCESSION, text) is None
    assert read(ENTRY, "E-2026-14b") is None


@pytest.mark.parametrize("pattern", [ACCESSION, ENTRY, "{n}", "{n}-{year}", "TM.{year}.{n}", "TM{year}-{n}"])
def test_a_pattern_that_can_be_read_back_may_stand(pattern: str) -> None:
    assert check_pattern(pattern) == []


@pytest.mark.parametrize(
    "pattern, begins",
    [
        ("{year}", "The pattern needs {n}"),
        ("", "The pattern needs {n}"),
        ("{n}.{n}", "The pattern needs {n}"),
        ("{year}.{year}.{n}", "The pattern needs {n}"),
        ("{year}/{n}", "A number is made of letters"),
        ("{year} {n}", "A number is made of letters"),
        ("{yr}.{n}", "A number is made of letters"),
        ("É{year}.{n}", "A number is made of letters"),
        ("A" * 30 + "{year}.{n}", "A number is made of letters"),
        ("{year}{n}", "Put a point or a hyphen"),
        ("1{n}", "Put a point or a hyphen"),
        ("{year}.{n}0", "Put a point or a hyphen"),
        ("{year}.{n}TH", "End the pattern with"),
        (".{n}", "Begin the pattern with"),
        ("K-{n}", "K-12 looks like the code of a place."),
        ("VAN{n}", "VAN12 looks like the code of a place."),
    ],
)
def test_a_pattern_that_cannot_stand_is_answered(pattern: str, begins: str) -> None:
    sentences = check_pattern(pattern)
    assert sentences[0].startswith(begins)
    assert all(sentence.endswith(".") for sentence in sentences)


def test_further_objects_of_an_entry_get_letters() -> None:
    letters = [entry_object("E-2026-14", n).removeprefix("E-2026-14") for n in (1, 2, 3, 26, 27, 28, 52, 53)]
    assert letters == ["", "b", "c", "z", "aa", "ab", "az", "ba"]
    with pytest.raises(ValueError, match="counted from 1"):
        entry_object("E-2026-14", 0)


def test_no_two_objects_of_an_entry_share_a_number() -> None:
    assert len({entry_object("E-2026-14", n) for n in range(1, 1000)}) == 999


@pytest.mark.parametrize(
    "typed, number",
    [
        *(("2016.1", "2016.1"), (" 2016.1 ", "2016.1"), ("th 2016 1", "2016.1"), ("TH 2016.1", "2016.1")),
        *(("TH2016.1.3", "2016.1.3"), ("2016 1 3", "2016.1.3"), ("2016-1-3", "2016.1.3"), ("2016–1", "2016.1")),
        *(("2016/1", "2016.1"), ("２０１６．１．３", "2016.1.3"), ("2016.1.4.2", "2016.1.4.2")),
        *(
            ("E 2026 14 b", "E-2026-14b"),
            ("e2026-14", "E-2026-14"),
            ("TH E-2026-14", "E-2026-14"),
            ("E-2018-5.3", "E-2018-5.3"),
        ),
        *(("HTTPS://HOST/Q/2016.1.3", "2016.1.3"), ("HTTPS://HOST/Q/E-2026-14B", "E-2026-14b")),
        *(
            ("https://casts.example/q/TH%202016.1/?from=phone#top", "2016.1"),
            ("host/q/2016.1", "2016.1"),
            ("/q/2016.1", "2016.1"),
        ),
        *(("https://old.example/register/q/2016.1", "2016.1"), ("2016%2E1", "2016.1")),
        *(("k 12", "K-12"), ("K-12", "K-12"), ("van1", "VAN-1"), ("bal 2", "BAL-2"), ("l 2026 3", "L-2026-3")),
    ],
)
def test_a_typed_or_scanned_number_is_among_what_it_may_mean(typed: str, number: str) -> None:
    assert number in normalise(typed, "TH")


def test_what_stands_there_as_typed_comes_first_and_nothing_twice() -> None:
    assert normalise("2016.1", "TH") == ["2016.1"]
    assert normalise("Nest 7", "TH")[0] == "Nest 7"
    assert normalise("K-12", "K", patterns=("{n}",)) == ["K-12", "12"], "a place is not hidden by the collection's code"


def test_leading_noughts_of_an_old_number_are_never_dropped() -> None:
    assert normalise("0712", "TH") == ["0712"]
    assert normalise("2016.01", "TH") == ["2016.01"]


def test_a_word_that_begins_like_the_code_is_not_cut() -> None:
    assert normalise("THRUSH 7", "TH") == ["THRUSH 7", "THRUSH-7"]


def test_the_code_may_hold_signs_and_be_written_small() -> None:
    assert "2016.1" in normalise("t.h. 2016.1", "T.H.")
    assert normalise("2016.1", "") == ["2016.1"]


@pytest.mark.parametrize("text", ["", "   ", "a\x00b", "%FF2016", "9" * 300, "HTTPS://HOST/", "HTTPS://HOST"])
def test_what_can_be_no_number_means_nothing(text: str) -> None:
    assert normalise(text, "TH") == []


@given(st.text(max_size=30))
def test_any_text_has_a_meaning_or_none(text: str) -> None:
    found = normalise(text, "TH")
    assert len(found) == len(set(found))
    assert all(number and number.isprintable() for number in found)


@given(st.integers(1000, 9999), st.integers(1, 99999), st.lists(st.integers(1, 999), max_size=3))
def test_any_number_of_ours_is_found_from_its_label(year: int, n: int, pieces: list[int]) -> None:
    number = ".".join(map(str, [give(ACCESSION, year, n), *pieces]))
    for typed in (f"HTTPS://HOST/Q/{number}", f"TH {number}", number.replace(".", " "), number.replace(".", "-")):
        assert number in normalise(typed, "TH")


def test_a_number_is_one_part_of_an_address() -> None:
    assert public_path_part("2016.1.3") == "2016.1.3"
    assert public_path_part("E-2026-14b_x") == "E-2026-14b_x"
    assert public_path_part("Nest 7/a~ü?#%") == "Nest%207%2Fa%7E%C3%BC%3F%23%25"
