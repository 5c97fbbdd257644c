"""How far one weighing may be off, against worked figures; classes and limits against OIML R 76-1:2006, tables 3 and 6."""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from catalog.measurements.budget import (
    INCOMPLETE,
    NO_BUDGET,
    NO_CERTIFICATE,
    Balance,
    error_limit_g,
    least_load_g,
    over_load,
    width,
)


@pytest.mark.parametrize(
    "d, rep, lin, cert, k, u",
    [
        # arithmetic of the GUM's rule (4.3.7, 5.1.2), worked by hand
        (".1", ".1", ".2", ".1", "2", "0.165831"),
        (".01", ".01", ".02", "0", None, "0.0158114"),
        ("1", "1", "2", ".5", "2", "1.600781"),
    ],
)
def test_the_parts_of_a_weighing_add_up_in_squares(d, rep, lin, cert, k, u) -> None:  # type: ignore[no-untyped-def]
    balance = Balance(D(d), D(rep), D(lin), D(cert), D(k) if k else None)
    found = width(balance, D(d) * 500, tared=True)
    assert abs(found.u_g - D(u)) < D("1e-6")
    assert found.flags == ()


def test_the_factor_of_a_certificate_is_divided_out_once() -> None:
    """U = 0.2 with k = 2 means u = 0.1."""
    found = width(Balance(D("1e-5"), D(0), D(0), D("0.2"), D(2)), D(50), tared=False)
    assert abs(found.u_g - D("0.1")) < D("1e-6")


def test_without_a_tare_the_step_counts_once() -> None:
    balance = Balance(D("0.1"), D(0), D(0), D(0))
    one, two = width(balance, D(50), tared=False).u_g, width(balance, D(50), tared=True).u_g
    assert abs((two / one) ** 2 - 2) < D("1e-9")


def test_what_is_not_known_is_flagged_and_never_taken_as_nothing() -> None:
    assert width(Balance(D("0.1"), D("0.1")), D(50), tared=False).flags == (INCOMPLETE,)
    bare = width(Balance(D("0.1")), D(50), tared=False)
    assert (bare.u_g, bare.flags) == (D("0.1"), (NO_BUDGET,))


def test_smallest_loads_and_error_limits_of_the_classes() -> None:
    assert least_load_g("III", D(5)) == 100
    assert least_load_g("II", D("0.1")) == 5
    assert least_load_g("II", D("0.01")) == D("0.2")
    assert [error_limit_g("III", D(5), D(load)) for load in (2000, 6000, 12000)] == [D("2.5"), D(5), D("7.5")]


def test_a_balance_of_known_class_without_certificate_takes_the_limit_in_service() -> None:
    found = width(Balance(D(5), oiml_class="III"), D(2000), tared=False)
    assert abs(found.u_g - D(5) / D(3).sqrt()) < D("1e-9")
    assert NO_CERTIFICATE in found.flags


def test_odd_readings_are_flagged_and_kept() -> None:
    coarse = Balance(D(5), oiml_class="III")
    assert any("too light" in flag for flag in width(coarse, D(50), tared=False).flags)
    assert any("between two steps" in flag for flag in width(Balance(D("0.1")), D("50.05"), tared=False).flags)


def test_a_step_is_above_zero_and_a_balance_has_its_most() -> None:
    with pytest.raises(ValueError):
        Balance(D(0))
    assert over_load(Balance(D("0.1"), most_g=D(2000)), D(2001))
    assert not over_load(Balance(D("0.1")), D(2001))
