"""The score of two faces: the log-likelihood ratio of "these two fit" against "two faces of this cast at random". Pure.

Sizes by the bivariate normal of their logarithms (checked against scipy in the tests); the other signs are ours, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from math import log, sqrt
from typing import NamedTuple

from catalog.casts.refitting.faces import Face, Weights

LEAST_VARIANCE = 1e-4
FEWEST_SIZES = 8
Depth = tuple[float, float] | None


@dataclass(frozen=True)
class Sizes:
    """How the sizes of all faces are spread: mean and variance of ln(mm), without the measuring. `own`: of this cast itself."""

    mean: float = log(12)
    variance: float = 0.0625
    own: bool = False


class Form(NamedTuple):
    """The score as `c + a1 d1^2 + a2 d2^2 + b d1 d2`, where d is a logarithm less its mean."""

    c: float
    a1: float
    a2: float
    b: float


USUAL_SIZES = Sizes()
NOTHING = Form(0, 0, 0, 0)


@cache
def form(variance: float, e2_1: float, e2_2: float) -> Form:
    """Score of two logarithms: covariance `variance` if they fit, none if not; each with its own squared noise e2."""
    v1, v2 = variance + e2_1, variance + e2_2
    d = v1 * v2 - variance * variance
    return Form(
        (log(v1) + log(v2) - log(d)) / 2, 1 / (2 * v1) - v2 / (2 * d), 1 / (2 * v2) - v1 / (2 * d), variance / d
    )


def spread(logs: Sequence[float], e2: float, usual: Sizes) -> Sizes:
    """Mean and variance of logarithms, less the noise e2 of measuring; `usual` where there are fewer than eight."""
    if len(logs) < FEWEST_SIZES:
        return usual
    mean = sum(logs) / len(logs)
    variance = sum((x - mean) ** 2 for x in logs) / (len(logs) - 1)
    return Sizes(mean, max(variance - e2, LEAST_VARIANCE), own=True)


def usual_sizes(own: Sequence[float | None], of_all: Callable[[], Sequence[float]]) -> Sizes:
    """What stands in for the spread of a cast's sizes (mm): nothing where it has enough of its own, else the collection's."""
    if sum(size is not None for size in own) >= FEWEST_SIZES:
        return Sizes(own=True)
    found = spread([log(size) for size in of_all()], 0.0, USUAL_SIZES)
    return Sizes(found.mean, found.variance)


def size_llr(a_mm: float, b_mm: float, sizes: Sizes, u_rel: float = 0.05, chip: float = 0.02) -> float:
    """Score of two sizes in mm, natural logarithm; both measured within `u_rel`."""
    e2 = u_rel**2 + chip**2
    c, a1, a2, b = form(sizes.variance, e2, e2)
    d1, d2 = log(a_mm) - sizes.mean, log(b_mm) - sizes.mean
    return c + a1 * d1 * d1 + a2 * d2 * d2 + b * d1 * d2


def sizes_differ_z(one: Face, other: Face, chip: float = 0.02) -> float | None:
    """By how many standard uncertainties two sizes differ; None where one is not measured."""
    if one.size_mm is None or other.size_mm is None:
        return None
    e2 = one.u_rel**2 + other.u_rel**2 + 2 * chip**2
    return abs(log(one.size_mm / other.size_mm)) / sqrt(e2)


def gap_cm(one: Depth, other: Depth) -> float | None:
    """Between two depth intervals: above zero apart, zero touching, below zero overlapping; None where one is not known."""
    if one is None or other is None:
        return None
    return max(one[0], other[0]) - min(one[1], other[1])


def depth_part(one: Depth, side: str, other: Depth, other_side: str, weights: Weights) -> float:
    """Score of two depths: nothing for the same or an overlapping one, less the farther apart, little the wrong way up."""
    gap = gap_cm(one, other)
    if one is None or other is None or gap is None or gap < 0 or one == other:
        return 0.0
    deeper, shallower = (side, other_side) if one[0] >= other[1] else (other_side, side)
    way = weights.wrong_way if deeper == "lower" or shallower == "upper" else weights.neighbour
    return log(way) - gap / weights.gap_cm


def side_part(one: str, other: str, weights: Weights) -> float:
    if not one or not other:
        return 0.0
    return log(weights.same_side if one == other else weights.opposite_sides)


def kind_part(one: str, other: str, weights: Weights) -> float:
    return log(weights.other_kind) if one and other and one != other else 0.0


def pour_part(one: tuple[str, str], other: tuple[str, str], weights: Weights) -> float:
    """Pour and shaft are told apart by the same cause, so that a difference counts once."""
    differs = any(a and b and a != b for a, b in zip(one, other, strict=True))
    return log(weights.other_pour) if differs else 0.0


def none_weighs(candidates: int, lost: float) -> float:
    """What "none of these" weighs beside exp(score) of each candidate: the partner may be among what was lost."""
    return lost * candidates / (1 - lost)
