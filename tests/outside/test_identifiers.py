"""ORCID, ROR and UUID version 7 against published examples and `python-stdnum` 2.2.

Sources: examples of ORCID and ROR from memory, agreeing with stdnum's ISO 7064; RFC 9562 appendix A.6 (quoted in public tests).
"""

import multiprocessing
import os
import uuid
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from itertools import pairwise

import pytest
import time_machine
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_11_2, mod_97_10

from catalog.ground.ids import uuid7
from catalog.people.orcid_check import read_orcid, read_ror

ORCIDS = ["0000-0002-1825-0097", "0000-0001-5109-3700", "0000-0002-1694-233X"]
RORS = ["05dxps055", "042nb2s44", "013cjyk83", "02twcfp32", "03yrm5c26"]
BASE_32 = "0123456789abcdefghjkmnpqrstvwxyz"


@pytest.mark.parametrize("orcid", ORCIDS)
def test_a_published_orcid_is_kept_as_uri_however_it_is_written(orcid: str) -> None:
    assert mod_11_2.is_valid(orcid.replace("-", ""))
    for said in (
        *(
            orcid,
            f" {orcid} ",
            orcid.lower(),
            orcid.replace("-", ""),
            f"orcid.org/{orcid}",
            f"https://orcid.org/{orcid}/",
        ),
        *(f"http://orcid.org/{orcid}", f"HTTPS://WWW.ORCID.ORG/{orcid}", f"ORCID: {orcid}"),
    ):
        assert read_orcid(said) == f"https://orcid.org/{orcid}"


@given(st.from_regex(r"\A[0-9]{15}[0-9X]\Z"))
def test_an_orcid_is_taken_exactly_when_stdnum_takes_its_check_figure(figures: str) -> None:
    assert _taken(read_orcid, figures) == mod_11_2.is_valid(figures)


@pytest.mark.parametrize("orcid", ORCIDS)
def test_every_single_wrong_figure_of_an_orcid_is_found(orcid: str) -> None:
    for wrong in _one_changed(orcid.replace("-", ""), "0123456789"):
        with pytest.raises(ValueError, match="Copy it again"):
            read_orcid(wrong)


@pytest.mark.parametrize(
    "said",
    ["", "0000-0002-1825", "0000-0002-1825-009", "0000-0002-1825-00978", "X000-0002-1825-0097", "٠٠٠٠-0002-1825-0097"],
)
def test_what_is_no_orcid_is_answered_with_what_to_write(said: str) -> None:
    with pytest.raises(ValueError) as refused:
        read_orcid(said)
    assert str(refused.value) == "An ORCID is four groups of four figures. Write it such as 0000-0002-1825-0097."


def test_an_orcid_of_another_address_is_not_taken() -> None:
    with pytest.raises(ValueError, match="four groups"):
        read_orcid("https://orcid.example/0000-0002-1825-0097")


@pytest.mark.parametrize("ror", RORS)
def test_a_published_ror_is_kept_as_uri_however_it_is_written(ror: str) -> None:
    for said in (
        ror,
        f" {ror.upper()} ",
        f"ror.org/{ror}",
        f"https://ror.org/{ror}/",
        f"http://www.ror.org/{ror}",
        f"ROR: {ror}",
    ):
        assert read_ror(said) == f"https://ror.org/{ror}"


@given(st.text(BASE_32, min_size=6, max_size=6), st.integers(0, 99))
def test_a_ror_is_taken_exactly_when_stdnum_gives_its_check_figures(name: str, check: int) -> None:
    """The rule is MOD 97-10 over the value in base 32; stdnum has no ROR of its own."""
    value = sum(BASE_32.index(character) * 32**place for place, character in enumerate(reversed(name)))
    assert _taken(read_ror, f"0{name}{check:02d}") == (mod_97_10.calc_check_digits(str(value)) == f"{check:02d}")


@pytest.mark.parametrize("ror", RORS)
def test_every_single_wrong_character_of_a_ror_is_found(ror: str) -> None:
    for wrong in (
        *(f"0{name}{ror[7:]}" for name in _one_changed(ror[1:7], BASE_32)),
        *(ror[:7] + c for c in _one_changed(ror[7:], "0123456789")),
    ):
        with pytest.raises(ValueError, match="Copy it again"):
            read_ror(wrong)


@pytest.mark.parametrize(
    "said, begins",
    [
        ("05dxps056", "One character of 05dxps056 differs"),
        ("05dxpl055", "A ROR has no i, l, o or u"),
        ("15dxps055", "A ROR is nine characters"),
        ("05dxps05", "A ROR is nine characters"),
        ("05dxps0ss", "A ROR is nine characters"),
        ("https://ror.example/05dxps055", "A ROR is nine characters"),
        ("", "A ROR is nine characters"),
    ],
)
def test_what_is_no_ror_is_answered_with_what_to_write(said: str, begins: str) -> None:
    with pytest.raises(ValueError) as refused:
        read_ror(said)
    assert str(refused.value).startswith(begins)


def _taken(read: object, text: str) -> bool:
    try:
        read(text)  # type: ignore[operator]
    except ValueError:
        return False
    return True


def _one_changed(text: str, alphabet: str) -> Iterator[str]:
    for place, was in enumerate(text):
        yield from (text[:place] + new + text[place + 1 :] for new in alphabet if new != was)


# UUID version 7

RFC_EXAMPLE = uuid.UUID("017F22E2-79B0-7CC3-98C4-DC0C0C07398F")
RFC_MS = 1645557742000


def test_the_instant_of_the_rfcs_example_stands_where_the_rfc_puts_it() -> None:
    assert datetime.fromtimestamp(RFC_MS / 1000, UTC) == datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC)
    ours = uuid7(RFC_MS)
    assert str(ours)[:15] == str(RFC_EXAMPLE)[:15] == "017f22e2-79b0-7"
    assert (ours.version, ours.variant) == (RFC_EXAMPLE.version, RFC_EXAMPLE.variant) == (7, uuid.RFC_4122)


@given(st.integers(0, 2**48 - 1))
def test_every_instant_stands_in_the_first_48_bits(now_ms: int) -> None:
    made = uuid7(now_ms)
    assert made.int >> 80 == now_ms
    assert (made.version, made.variant) == (7, uuid.RFC_4122)
    assert str(made) == str(made).lower()


@pytest.mark.parametrize("now_ms", [-1, 2**48])
def test_an_instant_outside_48_bits_is_refused(now_ms: int) -> None:
    with pytest.raises(ValueError, match="milliseconds"):
        uuid7(now_ms)


def test_ids_rise_within_one_millisecond_and_by_the_clock() -> None:
    assert all(a < b for a, b in pairwise([uuid7(RFC_MS) for _ in range(5000)]))
    before = uuid7()
    uuid7(2**47)
    made = [uuid7() for _ in range(5000)]
    assert all(a < b for a, b in pairwise([before, *made]))
    assert made[-1].int >> 80 < 2**47, "an instant asked for does not move the clock"


def test_a_clock_that_is_set_back_does_not_set_the_order_back() -> None:
    before = uuid7()
    with time_machine.travel(datetime(2022, 2, 22, tzinfo=UTC)):
        assert uuid7() > before


def test_threads_never_get_the_same_id() -> None:
    with ThreadPoolExecutor(8) as pool:
        rows = list(pool.map(lambda _: [uuid7() for _ in range(1000)], range(8)))
    assert len({made for row in rows for made in row}) == 8000
    assert all(a < b for row in rows for a, b in pairwise(row))


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork on this system")
def test_a_forked_process_does_not_count_on_from_its_parent() -> None:
    before = uuid7(RFC_MS)
    with multiprocessing.get_context("fork").Pool(1) as pool:
        theirs = pool.apply(uuid7, [RFC_MS])
    assert theirs.int >> 40 != before.int >> 40, "a count that went on would leave the high bits as they were"
    assert uuid7(RFC_MS).int >> 40 == before.int >> 40
