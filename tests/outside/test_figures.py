"""Factors of units and rounding of figures against published values and `pint` 0.25.3.

Sources: NIST SP 811 and the yard and pound agreement of 1959 (from memory, and so says pint); rounding half to even as in
IEEE 754 and Python's decimal; two figures of an uncertainty: GUM 7.2.6 (from memory).
"""

from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.ground.figures import read_amount, rounded, shown, with_uncertainty
from catalog.ground.units import UNITS, convert

PINT = pint.UnitRegistry(non_int_type=Fraction)
BASE = {
    **{"mass": "gram", "length": "millimeter", "area": "millimeter**2", "volume": "milliliter", "force": "newton"},
    **{"pressure": "pascal", "temperature": "degC", "angle": "degree"},
}
THEIR_NAME = {
    **{"µg": "microgram", "oz av": "ounce", "oz t": "troy_ounce", "lb": "pound", "t": "tonne", "µm": "micrometer"},
    **{"in": "inch", "ft": "foot", "yd": "yard", "mm²": "mm**2", "cm²": "cm**2", "dm²": "dm**2", "m²": "m**2"},
    **{"mm³": "mm**3", "cm³": "cm**3", "dm³": "dm**3", "m³": "m**3", "US gal": "gallon", "US fl oz": "US_fluid_ounce"},
    **{
        "UK gal": "imperial_gallon",
        "UK fl oz": "imperial_fluid_ounce",
        "°": "degree",
        "°C": "degC",
        "K": "kelvin",
        "°F": "degF",
    },
}


@pytest.mark.parametrize("name", [name for name, unit in UNITS.items() if unit.kind in BASE])
def test_a_unit_is_worth_what_pint_says(name: str) -> None:
    unit = UNITS[name]
    for typed in (0, 1, 212):
        theirs = PINT.Quantity(Fraction(typed), THEIR_NAME.get(name, name)).to(BASE[unit.kind]).magnitude
        assert float((typed - unit.zero) * unit.factor) == pytest.approx(float(theirs), rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    "typed, unit, exact",
    [
        *(("1 in", "mm", "25.4"), ("1 ft", "m", "0.3048"), ("1 yd", "m", "0.9144"), ("1 mile", "m", "1609.344")),
        *(("1 lb", "g", "453.59237"), ("1 oz av", "g", "28.349523125"), ("1 grain", "mg", "64.79891")),
        *(("1 lb 6 oz", "g", "623.68950875"), ("5 ft 3 in", "mm", "1600.2"), ("1 oz t", "g", "31.1034768")),
        *(("1 lbf", "N", "4.4482216152605"), ("1 kgf", "N", "9.80665"), ("1 atm", "Pa", "101325")),
        *(("1 US gal", "l", "3.785411784"), ("1 US fl oz", "ml", "29.5735295625"), ("1 UK gal", "l", "4.54609")),
    ],
)
def test_a_published_factor_is_exact(typed: str, unit: str, exact: str) -> None:
    """NIST SP 811, appendix B (from memory)."""
    assert read_amount(typed, unit=unit, what="figure").value == Decimal(exact)


def test_212_fahrenheit_is_100_celsius_exactly_and_a_difference_has_no_zero_point() -> None:
    assert read_amount("212 °F", unit="°C", what="temperature", least=None).value == 100
    assert read_amount("-40 °F", unit="°C", what="temperature", least=None).value == -40
    assert read_amount("212 ± 9 °F", unit="°C", what="temperature", least=None).uncertainty == 5


def test_a_pound_on_a_square_inch_is_near_the_published_pressure() -> None:
    """NIST SP 811: 6 894.757 Pa, more figures by our design's table."""
    assert abs(convert(Decimal(1), "psi", "Pa") - Decimal("6894.757293")) < Decimal("1e-6")


@pytest.mark.parametrize(
    "value, u, words",
    [
        ("10.4962", "0.1234", "10.50 ± 0.12"),
        ("0.00999", "0.00034", "0.00999 ± 0.00034"),
        ("9.274", "0.002", "9.274 ± 0.002"),
        ("56789", "1234", "56 800 ± 1200"),
        ("1.2345", "0.0996", "1.23 ± 0.10"),
        ("-3", "0.25", "−3.00 ± 0.25"),
    ],
)
def test_a_figure_ends_where_its_uncertainty_ends(value: str, u: str, words: str) -> None:
    """The first two are worked values of the design; the rule is GUM 7.2.6 (from memory)."""
    assert with_uncertainty(Decimal(value), Decimal(u)).replace("\u202f", " ") == words


def test_one_figure_of_uncertainty_only_where_it_begins_with_three_to_nine() -> None:
    """The limit at three: common practice, no source."""
    told = [with_uncertainty(Decimal("0.00999"), Decimal(u), one_figure=True) for u in ("0.00034", "0.00024")]
    assert [words.replace("\u202f", " ") for words in told] == ["0.0100 ± 0.0003", "0.00999 ± 0.00024"]


def test_half_goes_to_the_even_figure_on_decimals() -> None:
    """On binary floats 2.675 would give 2.67."""
    assert [str(rounded(Decimal(v), 2)) for v in ("2.665", "2.675", "2.685")] == ["2.66", "2.68", "2.68"]


@given(st.decimals(Decimal("-1e9"), Decimal("1e9"), places=4))
def test_a_shown_figure_is_read_back_as_it_was(value: Decimal) -> None:
    for comma in (False, True):
        amount = read_amount(shown(value, "g", comma=comma), unit="g", what="mass", decimal_comma=comma, least=None)
        assert amount.value == value
        assert amount.step == Decimal("0.0001")


@given(st.decimals(0, Decimal("1e6"), places=3), st.sampled_from(["lb", "oz av", "in", "ft", "kg", "mm"]))
def test_there_and_back_gives_the_figure_that_was_typed(value: Decimal, unit: str) -> None:
    base = {"mass": "mg", "length": "µm"}[UNITS[unit].kind]
    assert convert(convert(value, unit, base), base, unit) == value
