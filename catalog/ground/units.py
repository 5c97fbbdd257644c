"""Units and their exact factors, as fractions, so that nothing is rounded before it is shown.

Source of the factors: NIST SP 811 and the international yard and pound agreement of 1959 (from memory, checked against
pint in the tests).
"""

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple


class Unit(NamedTuple):
    """`factor` units of the kind's base for one of this unit, after `zero` is taken off (temperatures only)."""

    kind: str
    factor: Fraction
    zero: Fraction = Fraction(0)


_FACTORS = {
    "mass": {  # base g
        **{"µg": "0.000001", "mg": "0.001", "g": "1", "kg": "1000", "t": "1000000"},
        **{"lb": "453.59237", "oz av": "28.349523125", "oz t": "31.1034768", "grain": "0.06479891"},
    },
    "length": {  # base mm
        **{"µm": "0.001", "mm": "1", "cm": "10", "dm": "100", "m": "1000", "km": "1000000"},
        **{"in": "25.4", "ft": "304.8", "yd": "914.4", "mile": "1609344"},
    },
    "area": {"mm²": "1", "cm²": "100", "dm²": "10000", "m²": "1000000"},
    "volume": {  # base ml
        **{"mm³": "0.001", "cm³": "1", "ml": "1", "dl": "100", "dm³": "1000", "l": "1000", "m³": "1000000"},
        **{"US gal": "3785.411784", "US fl oz": "29.5735295625", "UK gal": "4546.09", "UK fl oz": "28.4130625"},
    },
    "force": {"N": "1", "kN": "1000", "kgf": "9.80665", "lbf": "4.4482216152605"},
    "pressure": {"Pa": "1", "hPa": "100", "mbar": "100", "kPa": "1000", "bar": "100000", "atm": "101325"},
    "angle": {"°": "1"},
    "share": {"%": "1"},
    "count": {"": "1"},
}

UNITS: dict[str, Unit] = {
    name: Unit(kind, Fraction(factor)) for kind, table in _FACTORS.items() for name, factor in table.items()
}
UNITS["psi"] = Unit("pressure", UNITS["lbf"].factor / (Fraction("0.0254") ** 2))
UNITS["°C"] = Unit("temperature", Fraction(1))
UNITS["K"] = Unit("temperature", Fraction(1), Fraction("273.15"))
UNITS["°F"] = Unit("temperature", Fraction(5, 9), Fraction(32))

# Other ways to write a unit. Upper and lower case matter (mg, Mg), so each is listed.
ALIASES = {
    **{
        "gram": "g",
        "grams": "g",
        "gramme": "g",
        "grammes": "g",
        "Kg": "kg",
        "KG": "kg",
        "kilo": "kg",
        "kilogram": "kg",
    },
    **{
        "kilograms": "kg",
        "ug": "µg",
        "μg": "µg",
        "lbs": "lb",
        "pound": "lb",
        "pounds": "lb",
        "ozt": "oz t",
        "gr": "gr",
    },
    **{"oz tr": "oz t", "troy oz": "oz t", "oz avdp": "oz av", "grains": "grain", "tonne": "t", "tonnes": "t"},
    **{
        "um": "µm",
        "μm": "µm",
        "metre": "m",
        "metres": "m",
        "meter": "m",
        "inch": "in",
        "inches": "in",
        '"': "in",
        "″": "in",
    },
    **{"foot": "ft", "feet": "ft", "'": "ft", "′": "ft", "yard": "yd", "yards": "yd", "miles": "mile", "mi": "mile"},
    **{"mm2": "mm²", "cm2": "cm²", "dm2": "dm²", "m2": "m²", "mm3": "mm³", "cm3": "cm³", "dm3": "dm³", "m3": "m³"},
    **{"L": "l", "mL": "ml", "litre": "l", "litres": "l", "liter": "l", "cc": "cm³"},
    **{"US gallon": "US gal", "UK gallon": "UK gal", "imp gal": "UK gal"},
    **{
        "deg": "°",
        "degree": "°",
        "degrees": "°",
        "C": "°C",
        "degC": "°C",
        "ºC": "°C",
        "F": "°F",
        "degF": "°F",
        "ºF": "°F",
    },
}

# Words that mean two units: the sentence says which to write.
TWO_MEANINGS = {
    "oz": "An ounce may be avoirdupois (28.35 g) or troy (31.10 g). Write oz av or oz t.",
    "ounce": "An ounce may be avoirdupois (28.35 g) or troy (31.10 g). Write oz av or oz t.",
    "ounces": "An ounce may be avoirdupois (28.35 g) or troy (31.10 g). Write oz av or oz t.",
    "fl oz": "A fluid ounce may be US (29.57 ml) or UK (28.41 ml). Write US fl oz or UK fl oz.",
    "gal": "A gallon may be US (3.785 l) or UK (4.546 l). Write US gal or UK gal.",
    "gallon": "A gallon may be US (3.785 l) or UK (4.546 l). Write US gal or UK gal.",
    "gallons": "A gallon may be US (3.785 l) or UK (4.546 l). Write US gal or UK gal.",
    "gr": "gr may be gram or grain. Write g or grain.",
    "ton": "A ton may be 1000 kg or a little less or more. Write t for 1000 kg.",
}


def find_unit(words: str) -> str | None:
    """The name under which a typed unit stands in UNITS, None when it is not known. ValueError when it means two."""
    words = " ".join(words.split()).rstrip(".")
    if words in TWO_MEANINGS:
        raise ValueError(TWO_MEANINGS[words])
    name = ALIASES.get(words, words)
    return name if name in UNITS else None


def convert(value: Decimal, said: str, asked: str, *, width: bool = False) -> Decimal:
    """`value` in unit `said` as a value in unit `asked`, both of one kind; exact when its decimals end.

    `width`: a difference or an uncertainty, for which no zero point counts. Between decimal units the last figure typed
    stays the last figure; otherwise noughts behind are dropped, since they would claim more than was said.
    """
    here, there = UNITS[said], UNITS[asked]
    if here.kind != there.kind:
        raise ValueError(f"{said} is a unit of {here.kind}, {asked} one of {there.kind}.")
    factor = here.factor / there.factor
    zero, new_zero = (Fraction(0), Fraction(0)) if width else (here.zero, there.zero)
    if zero == new_zero and (places := _power_of_ten(factor)) is not None:
        return plain(value.scaleb(places))
    exact = (Fraction(value) - zero) * factor + new_zero
    return plain((Decimal(exact.numerator) / Decimal(exact.denominator)).normalize())


def plain(value: Decimal) -> Decimal:
    """The same value without an exponent and without a minus before zero."""
    value = value if value else value.copy_abs()
    exponent = value.as_tuple().exponent
    return value.quantize(Decimal(1)) if isinstance(exponent, int) and exponent > 0 else value


def _power_of_ten(factor: Fraction) -> int | None:
    return next((places for places in range(-12, 13) if factor == Fraction(10) ** places), None)
