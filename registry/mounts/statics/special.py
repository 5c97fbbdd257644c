"""Wires that run aslant, and brackets on a wall."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, radians, sin

FLATTEST_DEG, FLAT_DEG = 30, 45


def tension_n(upright_n: float, angle_from_horizontal_deg: float) -> float:
    """The pull along a wire that takes `upright_n` of the weight. ValueError below 30 degrees: too flat to hang by."""
    if not FLATTEST_DEG <= angle_from_horizontal_deg <= 90:
        raise ValueError("A wire flatter than 30 degrees from the horizontal is not reckoned. Hang it steeper.")
    return upright_n / sin(radians(angle_from_horizontal_deg))


@dataclass(frozen=True)
class Fixing:
    """What one fixing of a bracket bears: pull out of the wall, shear along it, both together."""

    pull_n: float
    shear_n: float

    @property
    def both_n(self) -> float:
        return hypot(self.pull_n, self.shear_n)


def bracket(weight_n: float, out_mm: float, heights_mm: Sequence[float]) -> list[Fixing]:
    """A weight `out_mm` before the wall, fixings at these heights: the upper row pulls, the lower edge pushes, all shear.

    Prying and the wall itself are not in it. ValueError where all fixings are at one height.
    """
    middle = (max(heights_mm) + min(heights_mm)) / 2
    upper = [h for h in heights_mm if h > middle]
    lower = [h for h in heights_mm if h <= middle]
    if not upper:
        raise ValueError("A bracket needs fixings at two heights. Write how high each of them is.")
    apart = sum(upper) / len(upper) - sum(lower) / len(lower)
    pull, shear = weight_n * out_mm / apart / len(upper), weight_n / len(heights_mm)
    return [Fixing(pull if h > middle else 0.0, shear) for h in heights_mm]
