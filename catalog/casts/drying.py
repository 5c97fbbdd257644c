"""Drying of a body: whether its mass is constant, what it will weigh, when it is due on the balance again. Pure.

Criterion of EN 1936:2006: two weighings a day apart that differ by at most 0.1 % of the later one. The estimate is shown,
never stored as a mass and never used in a balance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from math import exp, inf, isfinite, log, sqrt

CONSTANT_SHARE = 0.001
AIR_DRY_SHARE = 0.01
# 24 h less the two of the standard's tolerance
LEAST_APART = timedelta(hours=22)
LEAST_SPAN_H = 24.0
LONGEST_TAU_SPANS = 5.0
LONGEST_WAIT = timedelta(days=28)


@dataclass(frozen=True)
class Weighing:
    """A body's mass at an instant (aware of its zone), with its standard uncertainty in grams, 0 where it is not known."""

    at: datetime
    mass_g: float
    u_g: float = 0.0

    def __post_init__(self) -> None:
        if not (isfinite(self.mass_g) and self.mass_g > 0 and isfinite(self.u_g) and self.u_g >= 0):
            raise ValueError("A mass is above zero, its uncertainty not below it.")


@dataclass(frozen=True)
class Constancy:
    """What the weighings say: `state` is "constant", "air dry" (it was constant and took up water) or "" (not yet)."""

    state: str
    sentence: str
    difference_share: float | None = None
    since: datetime | None = None


@dataclass(frozen=True)
class Curve:
    """m(t) = dry_g + water_g exp(-t/tau_h), t in hours from the first weighing.

    `u_dry_g` counts the misfit too, and is None where three weighings leave none; `u_balance_g` is the balance's part.
    """

    begun: datetime
    dry_g: float
    water_g: float
    tau_h: float
    u_balance_g: float
    u_dry_g: float | None

    def mass_g(self, at: datetime) -> float:
        return self.dry_g + self.water_g * exp(-_hours(at - self.begun) / self.tau_h)

    def within(self, share: float) -> datetime:
        """When the water left is this share of the dry mass."""
        if self.water_g <= share * self.dry_g:
            return self.begun
        return self.begun + timedelta(hours=self.tau_h * log(self.water_g / (share * self.dry_g)))


def _hours(span: timedelta) -> float:
    return span.total_seconds() / 3600


def constant_mass(weighings: Sequence[Weighing]) -> Constancy:
    """Whether the last weighings, in order of time, show constant mass. The share is of the later mass.

    A balance too coarse for 0.1 % of the body has to show no change over two intervals one after the other.
    """
    rows = sorted(weighings, key=lambda w: w.at)
    if len(rows) < 2:
        return Constancy("", "Weigh it again, a day later at the earliest.")
    last = rows[-1]
    before = _a_day_before(rows, len(rows) - 1)
    if before is None:
        return Constancy("", "The weighings are less than a day apart: weigh it again later.")
    share = abs(rows[before].mass_g - last.mass_g) / last.mass_g
    if _too_coarse(rows[before], last):
        return _by_two_intervals(rows, before, share)
    if share <= CONSTANT_SHARE:
        return Constancy("constant", f"Constant: {_percent(share)} in {_span(rows[before], last)}.", share, last.at)
    if last.mass_g > rows[before].mass_g and constant_mass(rows[:-1]).state == "constant":
        return Constancy("air dry", f"It took up water: {_percent(share)} more than when it was constant.", share)
    return Constancy("", f"Not constant yet: {_percent(share)} in {_span(rows[before], last)}.", share)


def _a_day_before(rows: Sequence[Weighing], i: int) -> int | None:
    """The nearest earlier weighing that is far enough from row i."""
    return next((j for j in range(i - 1, -1, -1) if rows[i].at - rows[j].at >= LEAST_APART), None)


def u_difference_g(one: Weighing, other: Weighing) -> float:
    return sqrt(one.u_g**2 + other.u_g**2)


def _too_coarse(one: Weighing, other: Weighing) -> bool:
    return 2 * u_difference_g(one, other) > CONSTANT_SHARE * other.mass_g


def needed_resolution_g(mass_g: float) -> float:
    """The coarsest resolution d that can show 0.1 % of this mass: each reading has u = d/sqrt 12."""
    return CONSTANT_SHARE * mass_g * sqrt(12) / (2 * sqrt(2))


def _by_two_intervals(rows: Sequence[Weighing], before: int, share: float) -> Constancy:
    last = rows[-1]
    coarse = (
        f"The balance is too coarse for this piece: it needs one that shows {needed_resolution_g(last.mass_g):.2g} g"
    )
    first = _a_day_before(rows, before)
    if first is None:
        return Constancy("", f"{coarse}, or a third weighing a day later.", share)
    still = all(
        abs(a.mass_g - b.mass_g) <= 2 * u_difference_g(a, b)
        for a, b in ((rows[first], rows[before]), (rows[before], last))
    )
    if still:
        return Constancy(
            "constant", "Constant as far as this balance shows: no change over two intervals.", share, last.at
        )
    return Constancy("", f"{coarse}. It still changes.", share)


def _percent(share: float) -> str:
    return f"{share * 100:.2f} %"


def _span(one: Weighing, other: Weighing) -> str:
    return f"{_hours(other.at - one.at):.0f} h"


# the drying curve


def dry_of_three(first: float, second: float, third: float) -> float | None:
    """Dry mass from three weighings at equal intervals, in closed form; None where they do not level out yet."""
    levelling = first + third - 2 * second
    if levelling <= 0:
        return None
    return (first * third - second * second) / levelling


def drying_curve(weighings: Sequence[Weighing]) -> Curve | str:
    """The curve by least squares weighted with 1/u^2, or the sentence why there is none yet.

    Three weighings over a day are needed, falling; all that are given are used. Without an uncertainty all count alike.
    """
    rows = sorted(weighings, key=lambda w: w.at)
    hours = [_hours(row.at - rows[0].at) for row in rows]
    if len(rows) < 3 or hours[-1] < LEAST_SPAN_H:
        return "Too early to say: three weighings over a day or more are needed."
    if rows[-1].mass_g >= rows[0].mass_g:
        return "Too early to say: it does not get lighter."
    known = all(row.u_g > 0 for row in rows)
    u = [row.u_g if known else 1.0 for row in rows]
    masses = [row.mass_g for row in rows]
    tau = _best_tau(hours, masses, u)
    dry, water, chi2 = _line(hours, masses, u, tau)
    if dry <= 0 or water <= 0 or tau > LONGEST_TAU_SPANS * hours[-1] * 0.999 or not isfinite(chi2):
        return "Too early to say: the curve does not level out yet."
    balance = _u_dry(hours, u, tau, water)
    degrees = len(rows) - 3
    misfit = sqrt(chi2 / degrees) if degrees else None
    whole = None if misfit is None else balance * (max(misfit, 1.0) if known else misfit)
    return Curve(rows[0].at, dry, water, tau, balance if known else 0.0, whole)


def _line(
    hours: Sequence[float], masses: Sequence[float], u: Sequence[float], tau: float
) -> tuple[float, float, float]:
    """For a given tau the curve is a straight line in exp(-t/tau): dry mass, water, and the weighted squares left."""
    e = [exp(-t / tau) for t in hours]
    w = [1 / s**2 for s in u]
    whole = sum(w)
    mean_e = sum(a * b for a, b in zip(w, e, strict=True)) / whole
    mean_m = sum(a * b for a, b in zip(w, masses, strict=True)) / whole
    spread = sum(a * (b - mean_e) ** 2 for a, b in zip(w, e, strict=True))
    if spread <= 0:
        return mean_m, 0.0, inf
    water = sum(a * (b - mean_e) * (m - mean_m) for a, b, m in zip(w, e, masses, strict=True)) / spread
    dry = mean_m - water * mean_e
    chi2 = sum(a * (m - dry - water * b) ** 2 for a, b, m in zip(w, e, masses, strict=True))
    return dry, water, chi2


def _best_tau(hours: Sequence[float], masses: Sequence[float], u: Sequence[float]) -> float:
    """Least squares over tau: a coarse look on a logarithmic scale, then the golden section around the best."""
    shortest = min(b - a for a, b in pairwise(hours) if b > a) / 20
    longest = LONGEST_TAU_SPANS * hours[-1]
    steps = 120
    taus = [shortest * (longest / shortest) ** (n / steps) for n in range(steps + 1)]
    left = [_line(hours, masses, u, tau)[2] for tau in taus]
    at = left.index(min(left))
    low, high = log(taus[max(at - 1, 0)]), log(taus[min(at + 1, steps)])
    golden = (sqrt(5) - 1) / 2
    for _ in range(80):
        one, other = high - golden * (high - low), low + golden * (high - low)
        if _line(hours, masses, u, exp(one))[2] <= _line(hours, masses, u, exp(other))[2]:
            high = other
        else:
            low = one
    return exp((low + high) / 2)


def _u_dry(hours: Sequence[float], u: Sequence[float], tau: float, water: float) -> float:
    """Standard uncertainty of the dry mass by the covariance of the three: (J^T W J)^-1, its first element."""
    j = [(1.0, exp(-t / tau), water * exp(-t / tau) * t / tau**2) for t in hours]
    n = [[sum(row[a] * row[b] / s**2 for row, s in zip(j, u, strict=True)) for b in range(3)] for a in range(3)]
    minor = n[1][1] * n[2][2] - n[1][2] * n[2][1]
    whole = (
        n[0][0] * minor
        - n[0][1] * (n[1][0] * n[2][2] - n[1][2] * n[2][0])
        + n[0][2] * (n[1][0] * n[2][1] - n[1][1] * n[2][0])
    )
    return sqrt(minor / whole) if whole > 0 else inf


# when to weigh again


def due_again(weighings: Sequence[Weighing]) -> datetime | None:
    """When the body is due on the balance again; None once its mass is constant.

    When the curve says that it is within 0.1 %, at most four weeks on; a day later where there is no curve yet.
    """
    rows = sorted(weighings, key=lambda w: w.at)
    if not rows or constant_mass(rows).state == "constant":
        return None
    last = rows[-1].at
    soonest = last + timedelta(hours=24)
    curve = drying_curve(rows)
    if isinstance(curve, str):
        return soonest
    try:
        dry = curve.within(CONSTANT_SHARE)
    except OverflowError:
        dry = last + LONGEST_WAIT
    return min(max(dry, soonest), last + LONGEST_WAIT)
