"""Constant mass after EN 1936:2006, the drying curve against closed form, scipy and the library uncertainties."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from fractions import Fraction
from math import exp, sqrt

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.optimize import curve_fit
from uncertainties import ufloat

from catalog.casts.drying import (
    Curve,
    Weighing,
    constant_mass,
    dry_of_three,
    drying_curve,
    due_again,
    needed_resolution_g,
)

# other work on the machine makes no test fail
CALM = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


def weighed(*rows, u=0.1):
    """Pairs of hours and grams."""
    return [Weighing(NOON + timedelta(hours=hours), grams, u) for hours, grams in rows]


SIX = weighed((0, 1232.4), (24, 1101.2), (48, 1040.8), (96, 1000.6), (168, 989.0), (240, 988.1))


# constant


@pytest.mark.parametrize(
    "first, later, hours, state",
    [(989.0, 988.1, 72, "constant"), (1000.6, 989.0, 72, ""), (500.0, 499.5, 24, ""), (500.0, 499.51, 10, "")],
)
def test_two_weighings_a_day_apart_within_a_thousandth_of_the_later(first, later, hours, state):
    """EN 1936:2006, drying to constant mass. 500.0 to 499.5 is .1000 % of the first and .1001 % of the later: too much."""
    assert constant_mass(weighed((0, first), (hours, later), u=0.01)).state == state


def test_the_share_is_of_the_later_mass():
    assert constant_mass(SIX).difference_share == pytest.approx(0.0009108, abs=1e-7)
    assert constant_mass(SIX).sentence == "Constant: 0.09 % in 72 h."
    assert constant_mass(SIX[:5]).difference_share == pytest.approx(0.011729, abs=1e-6)
    assert constant_mass(SIX[:1]).state == constant_mass([]).state == ""


def test_a_balance_too_coarse_has_to_stand_still_over_two_intervals():
    """d 1 g, 400 g: 2 u(diff) = .816 g, above .4 g."""
    u = 1 / sqrt(12)
    assert 2 * sqrt(2) * u == pytest.approx(0.816, abs=5e-4)
    two = weighed((0, 400), (24, 400), u=u)
    assert constant_mass(two).state == ""
    assert "too coarse" in constant_mass(two).sentence
    assert constant_mass([*two, *weighed((48, 400), u=u)]).state == "constant"
    assert constant_mass([*two, *weighed((48, 398), u=u)]).state == ""
    assert needed_resolution_g(400) == pytest.approx(0.4899, abs=1e-4)


def test_what_was_constant_and_grows_heavier_took_up_water():
    after = constant_mass([*SIX, *weighed((300, 990.5))])
    assert after.state == "air dry"
    assert after.sentence == "It took up water: 0.24 % more than when it was constant."


@pytest.mark.parametrize("grams", [0, -1, float("nan"), float("inf")])
def test_a_mass_that_is_none_is_refused(grams):
    with pytest.raises(ValueError):
        Weighing(NOON, grams)


# the curve


def test_three_weighings_at_equal_intervals_in_closed_form():
    """Fractions: exactly 1500. The library uncertainties: u 5.7446 for u 1 each, six times the balance's."""
    assert dry_of_three(Fraction(2100), Fraction(1800), Fraction(1650)) == 1500
    m = [ufloat(x, 1) for x in (2100, 1800, 1650)]
    dry = (m[0] * m[2] - m[1] * m[1]) / (m[0] + m[2] - 2 * m[1])
    assert dry.s == pytest.approx(5.7446, abs=1e-4)
    curve = drying_curve(weighed((0, 2100), (24, 1800), (48, 1650), u=1))
    assert isinstance(curve, Curve)
    assert curve.dry_g == pytest.approx(1500, abs=1e-4)
    assert curve.u_balance_g == pytest.approx(dry.s, abs=1e-3)
    assert curve.u_dry_g is None
    assert dry_of_three(100, 90, 80) is None


def test_the_first_three_of_a_real_piece():
    assert dry_of_three(1232.4, 1101.2, 1040.8) == pytest.approx(989.272, abs=1e-3)
    curve = drying_curve(SIX[:3])
    assert curve.dry_g == pytest.approx(989.272, abs=1e-3)
    assert curve.u_balance_g == pytest.approx(0.4724, abs=1e-3)


def test_six_weighings_and_how_far_the_curve_misses_them():
    curve = drying_curve(SIX)
    assert curve.dry_g == pytest.approx(988.297, abs=1e-3)
    assert curve.water_g == pytest.approx(243.988, abs=1e-3)
    assert curve.tau_h == pytest.approx(31.261, abs=1e-3)
    assert curve.u_balance_g == pytest.approx(0.0656, abs=1e-3)
    assert curve.u_dry_g == pytest.approx(0.444, abs=1e-3)


@pytest.mark.parametrize("u", [0.05, 0.1, 1.0])
def test_the_curve_is_the_one_scipy_finds(u):
    """scipy.optimize.curve_fit, absolute sigma."""
    hours = [0, 24, 48, 96, 168, 240]
    masses = [w.mass_g for w in SIX]
    found, covariance = curve_fit(
        lambda t, dry, water, tau: [dry + water * exp(-x / tau) for x in t],
        hours,
        masses,
        p0=[990, 240, 30],
        sigma=[u] * 6,
        absolute_sigma=True,
    )
    curve = drying_curve(weighed(*zip(hours, masses, strict=True), u=u))
    assert (curve.dry_g, curve.water_g, curve.tau_h) == pytest.approx(tuple(found), rel=1e-5)
    assert curve.u_balance_g == pytest.approx(sqrt(covariance[0][0]), rel=1e-3)


def test_an_exact_exponential_is_found_again():
    rows = [(24 * d, 1500 + 600 * exp(-d / 5)) for d in (0, 1, 3, 7, 14)]
    curve = drying_curve(weighed(*rows))
    assert (curve.dry_g, curve.water_g, curve.tau_h) == pytest.approx((1500, 600, 120), abs=1e-4)
    assert curve.mass_g(NOON + timedelta(days=3)) == pytest.approx(1500 + 600 * exp(-0.6), abs=1e-4)
    hours = (curve.within(0.001) - NOON).total_seconds() / 3600
    assert curve.mass_g(NOON + timedelta(hours=hours)) == pytest.approx(1501.5, abs=1e-3)


@pytest.mark.parametrize(
    "rows",
    [
        [(0, 100), (24, 90)],
        [(0, 100), (5, 95), (10, 93)],
        [(0, 100), (24, 101), (48, 102)],
        [(0, 100), (24, 90), (48, 80)],
        [(0, 100), (24, 95), (48, 80)],
    ],
)
def test_too_early_to_say(rows):
    """Too few, too short, growing, straight, speeding up."""
    assert str(drying_curve(weighed(*rows))).startswith("Too early to say")


@CALM
@given(
    dry=st.floats(20, 5000),
    share=st.floats(0.05, 0.5),
    tau=st.floats(10, 60),
)
def test_any_clean_curve_is_found(dry, share, tau):
    rows = [(t, dry + dry * share * exp(-t / tau)) for t in (0, 24, 48, 96)]
    curve = drying_curve(weighed(*rows))
    assert isinstance(curve, Curve)
    assert curve.dry_g == pytest.approx(dry, rel=1e-3)


# when to weigh again


def test_due_a_day_later_until_there_is_a_curve_then_when_it_says_dry():
    assert due_again([]) is None
    assert due_again(SIX[:2]) == SIX[1].at + timedelta(hours=24)
    assert due_again(SIX) is None
    due = due_again(SIX[:4])
    assert due == drying_curve(SIX[:4]).within(0.001)
    assert timedelta(days=6) < due - NOON < timedelta(days=9)


def test_never_later_than_four_weeks():
    slow = weighed((0, 1000), (100, 900), (200, 820), (300, 756))
    assert due_again(slow) == slow[-1].at + timedelta(days=28)
