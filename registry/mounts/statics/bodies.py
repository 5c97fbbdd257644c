"""Weight and centre of mass of what is carried. Exact fractions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

# standard acceleration of free fall, m/s2 (3rd CGPM, 1901)
G = Decimal("9.80665")

Point = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Part:
    """One thing that is carried. `x_mm`, `y_mm`, `z_mm`: its middle, as far as anybody measured it."""

    name: str
    mass_g: Decimal
    x_mm: Decimal | None = None
    y_mm: Decimal | None = None
    z_mm: Decimal | None = None

    @property
    def placed(self) -> bool:
        return self.x_mm is not None and self.y_mm is not None


def weight_n(mass_g: Decimal) -> Fraction:
    """18 000 g weigh 176.5197 N."""
    return Fraction(mass_g) / 1000 * Fraction(G)


def centre_of_mass(parts: Sequence[Part]) -> tuple[Fraction, Fraction, Fraction | None]:
    """(x, y, z) in mm of parts that have their place; z None where one height is not known. ValueError without any mass."""
    whole = sum((Fraction(p.mass_g) for p in parts), Fraction(0))
    if whole <= 0:
        raise ValueError("Nothing that weighs anything has its place.")

    def mean(values: Sequence[Decimal | None]) -> Fraction:
        moments = (Fraction(p.mass_g) * Fraction(v or 0) for p, v in zip(parts, values, strict=True))
        return sum(moments, Fraction(0)) / whole

    height = mean([p.z_mm for p in parts]) if all(p.z_mm is not None for p in parts) else None
    return mean([p.x_mm for p in parts]), mean([p.y_mm for p in parts]), height
