"""What broke against what came of it. Sources beside each check."""

from __future__ import annotations

from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.casts.mass_balance import Weighed, balance, width_g


def weighed(*grams: str, u: str = ".2", state: str = "constant") -> list[Weighed | None]:
    return [Weighed(D(g), D(u), state) for g in grams]


def test_a_missing_corner_is_unexplained() -> None:
    # arithmetic agreed with the library uncertainties 3.2.3; E_n as on the NIST Dataplot page "ISO 13528 EN SCORE"
    found = balance(Weighed(D("1842.6"), D(".2"), "constant"), weighed("903.2", "611.8", "318.9", "6.1"))
    assert found.difference_g == D("2.6")
    assert found.u_g == pytest.approx(D(".447214"), abs=D("1e-6"))
    assert found.e_n == pytest.approx(D("2.906888"), abs=D("1e-6"))
    assert found.verdict == "unexplained"
    assert found.unexplained_g == D("2.6")


def test_the_uncertainties_agree_with_a_reference_library() -> None:
    from uncertainties import ufloat

    parts = [ufloat(120.4, 0.1), ufloat(88.1, 0.3), ufloat(40.2, 0.05)]
    theirs = ufloat(250.0, 0.2) - sum(parts)
    ours = balance(
        Weighed(D("250.0"), D(".2")),
        [Weighed(D("120.4"), D(".1")), Weighed(D("88.1"), D(".3")), Weighed(D("40.2"), D(".05"))],
    )
    assert float(ours.difference_g or 0) == pytest.approx(theirs.nominal_value)
    assert float(ours.u_g or 0) == pytest.approx(theirs.std_dev)


def test_e_n_against_worked_figures() -> None:
    # 250.0 = 120.4 + 88.1 + 40.2, u .1: 1.3 g off, E_n 3.25; four parts that come to 249.8: E_n .447214 (arithmetic)
    parent = Weighed(D("250.0"), D(".1"))
    off = balance(parent, weighed("120.4", "88.1", "40.2", u=".1", state=""))
    assert (off.difference_g, off.e_n) == (D("1.3"), D("3.25"))
    near = balance(parent, weighed("120.4", "88.1", "40.2", "1.1", u=".1", state=""))
    assert near.e_n == pytest.approx(D(".447214"), abs=D("1e-6"))
    assert near.verdict == "adds up"


def test_parts_that_weigh_more_are_told_otherwise_than_parts_that_lack() -> None:
    more = balance(Weighed(D(250), D(".1")), weighed("200", "60", u=".1", state=""))
    less = balance(Weighed(D(250), D(".1")), weighed("100", "60", u=".1", state=""))
    assert more.verdict == less.verdict == "unexplained"
    assert "soil, glue, water" in more.sentence
    assert "not accounted for" in less.sentence


@pytest.mark.parametrize(
    ("before", "after"), [("wet", "wet"), ("constant", "wet"), ("constant", "air dry"), ("wet", "constant")]
)
def test_no_verdict_before_constant_mass(before: str, after: str) -> None:
    found = balance(Weighed(D(250), D(".1"), before), weighed("100", "60", state=after))
    assert found.verdict == "no verdict yet"
    assert found.unexplained_g is None


def test_a_state_nobody_said_is_that_of_the_rest() -> None:
    assert balance(Weighed(D(3), D(".1"), "constant"), weighed("1", "2", state="")).verdict == "adds up"


def test_nothing_is_said_where_something_was_not_weighed() -> None:
    assert balance(None, weighed("1", "2")).verdict == "no verdict yet"
    found = balance(Weighed(D(3), D(".1")), [*weighed("1"), None])
    assert (found.difference_g, found.verdict) == (None, "no verdict yet")
    assert "One part still to be weighed" in found.sentence


def test_stated_loss_counts() -> None:
    assert balance(Weighed(D(10), D(".1")), weighed("4", "5"), lost_g=D(1)).difference_g == 0


def test_a_mass_without_uncertainty_is_taken_to_its_last_figure() -> None:
    assert [width_g(Weighed(D(text))) for text in ("120.4", "120.400", "88", "1500")] == [D(".1"), D(".1"), 1, 1]


def test_a_mass_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="below zero"):
        balance(Weighed(D(3)), weighed("-1", "4"))


def test_many_pieces_hide_a_small_loss() -> None:
    # the sum's uncertainty grows with the root of the number: 180 pieces at .1658 g come to 2.22 g (arithmetic)
    found = balance(Weighed(D(1800), D(0)), [Weighed(D(10), D(".1658"))] * 180)
    assert found.u_g == pytest.approx(D("2.22"), abs=D(".01"))


@given(st.lists(st.decimals("0.001", "500", places=3), min_size=1, max_size=12), st.randoms())
def test_what_is_split_exactly_adds_up_in_any_order(parts: list[D], rng: object) -> None:
    parent = Weighed(sum(parts, D(0)), D(".1"))
    rows: list[Weighed | None] = [Weighed(p, D(".1")) for p in parts]
    found = balance(parent, rows)
    rng.shuffle(rows)  # type: ignore[attr-defined]
    assert found.difference_g == 0
    assert balance(parent, rows) == found
