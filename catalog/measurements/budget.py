"""The standard uncertainty of one weighing, from what is known of the balance. Pure; grams throughout.

u^2 = n0 (d / sqrt 12)^2 + repeatability^2 + linearity^2 / 3 + (U / k)^2, n0 = 2 where a zero or a tare reading is taken
off, else 1 (GUM 4.3.7 for the two rectangular parts). Classes and error limits: OIML R 76-1:2006, tables 3 and 6.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

# class: (smallest load in e, upper ends of the steps of half, one and one and a half e)
_LEAST_E = {"I": 100, "II": 50, "III": 20, "IIII": 10}
_LEAST_E_FINE_II = 20
_STEPS_E = {"I": (50_000, 200_000), "II": (5_000, 20_000), "III": (500, 2_000), "IIII": (50, 200)}
_SMALL = Decimal("1e-9")
INCOMPLETE = "budget incomplete"
NO_BUDGET = "no budget: one step of the balance"
NO_CERTIFICATE = "by its class, without a certificate"


@dataclass(frozen=True)
class Balance:
    """`d_g`: the step shown. None where a part is not known; `certificate_u_g` is expanded by `k`; `e_g` is the class's own step."""

    d_g: Decimal
    repeatability_g: Decimal | None = None
    linearity_g: Decimal | None = None
    certificate_u_g: Decimal | None = None
    k: Decimal | None = None
    most_g: Decimal | None = None
    oiml_class: str = ""

    def __post_init__(self) -> None:
        if self.d_g <= 0:
            raise ValueError("The smallest step a balance shows is above zero.")


@dataclass(frozen=True)
class Width:
    """One standard uncertainty and the words for what is incomplete about it."""

    u_g: Decimal
    flags: tuple[str, ...] = ()


def least_load_g(oiml_class: str, e_g: Decimal) -> Decimal:
    """Below this load a balance of the class is not meant to be used (OIML R 76-1:2006 table 3)."""
    fine = oiml_class == "II" and e_g < Decimal("0.1")
    return e_g * (_LEAST_E_FINE_II if fine else _LEAST_E[oiml_class])


def error_limit_g(oiml_class: str, e_g: Decimal, load_g: Decimal) -> Decimal:
    """Largest permitted error on first verification (OIML R 76-1:2006 table 6); in service it is twice this."""
    first, second = (e_g * n for n in _STEPS_E[oiml_class])
    share = Decimal("0.5") if load_g <= first else Decimal(1) if load_g <= second else Decimal("1.5")
    return share * e_g


def width(balance: Balance, mass_g: Decimal, *, tared: bool) -> Width:
    """The uncertainty of a reading of this mass."""
    parts = {
        "repeatability": balance.repeatability_g,
        "linearity": balance.linearity_g,
        "certificate": balance.certificate_u_g,
    }
    known = {name: value for name, value in parts.items() if value is not None}
    if "certificate" not in known and balance.oiml_class in _STEPS_E and len(known) < 2:
        limit = 2 * error_limit_g(balance.oiml_class, balance.d_g, mass_g)
        return Width(limit / Decimal(3).sqrt(), (NO_CERTIFICATE, *_reading_flags(balance, mass_g)))
    if not known:
        return Width(balance.d_g, (NO_BUDGET, *_reading_flags(balance, mass_g)))
    squares = (2 if tared else 1) * balance.d_g**2 / 12
    squares += known.get("repeatability", Decimal(0)) ** 2 + known.get("linearity", Decimal(0)) ** 2 / 3
    squares += (known.get("certificate", Decimal(0)) / (balance.k or Decimal(2))) ** 2
    flags = (INCOMPLETE,) if len(known) < len(parts) else ()
    return Width(squares.sqrt(), (*flags, *_reading_flags(balance, mass_g)))


def _reading_flags(balance: Balance, mass_g: Decimal) -> tuple[str, ...]:
    found = []
    if balance.oiml_class in _LEAST_E and mass_g < least_load_g(balance.oiml_class, balance.d_g):
        found.append("too light for this balance")
    steps = mass_g / balance.d_g
    if abs(steps - steps.to_integral_value()) > _SMALL:
        found.append("between two steps of the balance: converted, or another step than stated")
    return tuple(found)


def over_load(balance: Balance, gross_g: Decimal) -> bool:
    """More than the balance can carry."""
    return balance.most_g is not None and gross_g > balance.most_g
