"""The order of numbers against `natsort` 8.4.0 and, for the stored form, against SQLite's own order of bytes."""

import sqlite3
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from natsort import natsort_keygen, natsorted, ns

from catalog.casts.numbers import natural_key, sort_text

IN_ORDER = [
    ["2", "12", "12 bis", "12a"],
    [
        *("2026.2", "2026.2.9", "2026.2.10", "2026.9", "2026.10", "2026.14.3", "2026.14.3.1", "2026.14.12"),
        *("2026.100", "2027.1"),
    ],
    ["2025.100", "2026.2"],
    ["E-2026-9", "E-2026-14", "E-2026-14b", "E-2026-14c"],
    ["7a", "Nest 7", "nest 10"],
]
TEXTS = st.text(alphabet="0123456789 .-abAB bisN", max_size=12).map(str.strip)


def _theirs(text: str) -> object:
    return natsort_keygen(alg=ns.IGNORECASE)(text)


@pytest.mark.parametrize("numbers", IN_ORDER)
def test_the_check_list_stands_in_order(numbers: list[str]) -> None:
    """The list: our design's, computed there with natsort."""
    backwards = numbers[::-1]
    assert natsorted(backwards, alg=ns.IGNORECASE) == numbers
    assert sorted(backwards, key=natural_key) == numbers
    assert sorted(backwards, key=lambda text: sort_text(text).encode()) == numbers


@given(TEXTS, TEXTS)
def test_any_two_texts_stand_as_natsort_puts_them(left: str, right: str) -> None:
    """Where natsort sees no difference (leading noughts, large and small letters) ours may still part them by length."""
    if _theirs(left) != _theirs(right):
        assert (natural_key(left) < natural_key(right)) == (_theirs(left) < _theirs(right))  # type: ignore[operator]


@given(st.text(max_size=12), st.text(max_size=12))
def test_the_stored_form_has_the_order_of_the_key(left: str, right: str) -> None:
    stored = [sort_text(text).encode("utf-8", "surrogatepass") for text in (left, right)]
    assert (natural_key(left) < natural_key(right)) == (stored[0] < stored[1])
    assert (natural_key(left) == natural_key(right)) == (stored[0] == stored[1])


@given(st.lists(st.text(alphabet="0019 .aB", max_size=8), max_size=12))
def test_the_stored_form_sorts_leading_noughts_too(texts: list[str]) -> None:
    assert sorted(texts, key=natural_key) == sorted(texts, key=lambda text: sort_text(text).encode())


def test_a_database_that_compares_bytes_gives_the_natural_order() -> None:
    numbers = [number for chain in IN_ORDER[1:] for number in chain] + ["01", "1", "001", "1 a", "9" * 60, "Ångström 2"]
    with sqlite3.connect(":memory:") as base:
        base.execute("CREATE TABLE cast_number (number TEXT, sort TEXT)")
        base.executemany("INSERT INTO cast_number VALUES (?, ?)", [(n, sort_text(n)) for n in reversed(numbers)])
        stored = [row[0] for row in base.execute("SELECT number FROM cast_number ORDER BY sort, number")]
    assert [natural_key(n) for n in stored] == sorted(map(natural_key, numbers))


def test_leading_noughts_part_two_numbers_of_one_value() -> None:
    for one, other in pairwise(["1", "1 z", "1a", "01", "01 a", "001", "2"]):
        assert natural_key(one) < natural_key(other)
        assert sort_text(one).encode() < sort_text(other).encode()


def test_outer_space_large_letters_and_full_width_figures_do_not_count() -> None:
    for text in (" 2026.14 ", "２０２６．１４"):
        assert natural_key(text) == natural_key("2026.14")
        assert sort_text(text) == sort_text("2026.14")
    assert sort_text("NEST 7") == sort_text("nest 7")


@given(st.text(alphabet="0123456789.-abE ", max_size=40))
def test_the_stored_form_fits_its_column(text: str) -> None:
    assert len(sort_text(text)) <= 3 * len(text)
    assert len(sort_text(text.replace("0", "1"))) <= 2 * len(text) + 1
