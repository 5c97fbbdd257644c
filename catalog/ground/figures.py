"""Figures with units: what people type, read to exact decimals; decimals shown as the trade writes them."""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from catalog.ground.say import MINUS, THIN
from catalog.ground.units import UNITS, convert, find_unit, plain

_SPACES = dict.fromkeys(
    map(ord, "\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u3000"), " "
)
_DASHES = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2014\u2212\ufe63\uff0d"), "-")
_TIDY = str.maketrans({**_SPACES, **_DASHES})

_FRACTIONS = {"½": "0.5", "¼": "0.25", "¾": "0.75", "⅛": "0.125", "⅜": "0.375", "⅝": "0.625", "⅞": "0.875"}
_STEPS = {"½": "0.5", "¼": "0.25", "¾": "0.25", "⅛": "0.125", "⅜": "0.125", "⅝": "0.125", "⅞": "0.125"}

_FIGURE = re.compile(
    rf"(?P<sign>[-+]?) *(?P<number>[0-9](?:[0-9 .,]*[0-9])?|[.,][0-9]+)? *(?P<part>[{''.join(_FRACTIONS)}]?)(?P<unit>.*)"
)
_ABOUT = re.compile(r"(?:~|≈|about |circa |ca?\. ?|ca )")
_PLUS_MINUS = re.compile(r"±|\+/-|\+-")
_EXPONENT = re.compile(r"[0-9] *[eE] *[-+]?[0-9]|[×x*·] *10|\^|[⁰¹²³⁴-⁹]")
_TWO_UNITS = re.compile(r"([0-9]{1,6}) ?(lbs?|ft|') ?([0-9]{1,6}(?:[.,][0-9]{1,6})?) ?(oz|in|\")")
_SMALLER = {"lb": "oz av", "lbs": "oz av", "ft": "in", "'": "in"}
_LARGER = {"oz": "lb", "in": "ft", '"': "ft"}

_UNITS_TO_WRITE = {
    **{"mass": "g, kg or mg", "length": "mm, cm or m", "area": "mm², cm² or m²", "volume": "ml, cm³ or l"},
    **{"force": "N or kN", "pressure": "Pa, hPa or kPa", "temperature": "°C", "angle": "°", "share": "%"},
}
_MOST_FIGURES = 20


@dataclass(frozen=True)
class Amount:
    """A typed figure in the unit that was asked for; `said` is the text as typed.

    `uncertainty`: what was typed after ±, in `unit`; None when nothing was. `step`: what one in the last figure typed is
    worth, in `unit`. `approximate`: written with ~. `below`: written with <, the value is then a bound.
    """

    value: Decimal
    unit: str
    said: str
    uncertainty: Decimal | None = None
    approximate: bool = False
    below: bool = False
    step: Decimal | None = None


@dataclass(frozen=True)
class _Asked:
    unit: str
    what: str
    decimal_comma: bool | None

    @property
    def example(self) -> str:
        return f"Write the {self.what} as a figure, such as {f'12.5 {self.unit}' if self.unit else '12'}."


def read_amount(
    said: str, *, unit: str, what: str, decimal_comma: bool | None = None, least: Decimal | None = Decimal(0)
) -> Amount:
    """Reads `1,5 kg`, `1 500`, `1½`, `~80`, `80±2`, `<0.1`, `1 lb 6 oz`; a bare figure has the asked `unit`.

    `unit` is a name in `units.UNITS`, `what` the word for the quantity in sentences (`mass`); `decimal_comma` settles
    1.500, None asks back; `least` is the lowest value, in `unit`, None for none. ValueError: one sentence with what to write.
    """
    asked = _Asked(unit, what, decimal_comma)
    text = " ".join(said.translate(_TIDY).split())
    _refuse_other_figures(text, asked)
    about = _ABOUT.match(text)
    text = text[about.end() :].strip() if about else text
    below = text.startswith("<")
    value, step, uncertainty = _value_and_width(text.removeprefix("<").strip(), asked)
    if below and uncertainty is not None:
        raise ValueError("A figure after < is a bound and has no ±. Write one of the two.")
    if least is not None and value < least:
        limit = "zero" if not least else shown(least, unit)
        raise ValueError(f"{'An' if what[:1] in 'aeiou' else 'A'} {what} cannot be below {limit}.")
    return Amount(value, unit, said, uncertainty, about is not None, below, step)


def _refuse_other_figures(text: str, asked: _Asked) -> None:
    if not text or re.fullmatch(r"[-+]?(nan|inf|infinity|∞)", text, re.IGNORECASE):
        raise ValueError(asked.example)
    if any(sign.isdecimal() and not sign.isascii() for sign in text):
        raise ValueError("Write the figure with 0 to 9, such as 1500.")
    if ">" in text or "≥" in text or "≤" in text:
        raise ValueError("Only < is kept before a figure, for below what the instrument can tell. Leave the sign out.")
    if _EXPONENT.search(re.sub(r"(?<=m)[²³]", "", text)):
        raise ValueError("Write the figure in full, such as 1500, without a power of ten.")
    if len(text) > 60 or sum(sign.isdigit() for sign in text) > _MOST_FIGURES:
        raise ValueError(f"That is more than can be kept. Write at most {_MOST_FIGURES} figures.")


def _value_and_width(text: str, asked: _Asked) -> tuple[Decimal, Decimal, Decimal | None]:
    if (found := _TWO_UNITS.fullmatch(text)) and _LARGER[found[4]] == {"lbs": "lb", "'": "ft"}.get(found[2], found[2]):
        return *_two_units(found, asked), None
    left, *widths = _PLUS_MINUS.split(text)
    value, step, unit = _figure(left, asked)
    if not widths:
        return (
            convert(value, unit or asked.unit, asked.unit),
            convert(step, unit or asked.unit, asked.unit, width=True),
            None,
        )
    width, _, width_unit = _figure(widths[0], asked)
    unit = unit or width_unit or asked.unit
    if len(widths) > 1 or width <= 0:
        raise ValueError("What a figure may be off by is one figure above zero, such as 80±2.")
    return (
        convert(value, unit, asked.unit),
        convert(step, unit, asked.unit, width=True),
        convert(width, width_unit or unit, asked.unit, width=True),
    )


def _two_units(found: re.Match[str], asked: _Asked) -> tuple[Decimal, Decimal]:
    """Pounds and ounces, feet and inches: here the larger unit says which ounce it is."""
    larger, smaller = _LARGER[found[4]], _SMALLER[found[2]]
    _check_kind(larger, asked)
    rest, step = _number(found[3], asked, smaller)
    value = convert(Decimal(found[1]), larger, asked.unit) + convert(rest, smaller, asked.unit)
    return plain(value), convert(step, smaller, asked.unit, width=True)


def _figure(text: str, asked: _Asked) -> tuple[Decimal, Decimal, str]:
    """Value, worth of its last figure, and its unit (empty: none was written)."""
    found = _FIGURE.fullmatch(text.strip())
    if not found or not (found["number"] or found["part"]):
        raise ValueError(asked.example)
    if re.match(r" *- *[0-9]", found["unit"]):
        raise ValueError(f"Write one {asked.what} with what it may be off by, such as 85±5 for 80 to 90.")
    unit = _unit(found["unit"].strip(), asked)
    value, step = _number(found["number"] or "0", asked, unit or asked.unit)
    if part := found["part"]:
        if value != value.to_integral_value() or step != 1:
            raise ValueError(f"Write the {asked.what} with a point or with a fraction, not with both: 1.5 or 1½.")
        value, step = value + Decimal(_FRACTIONS[part]), Decimal(_STEPS[part])
    return (-value if found["sign"] == "-" else value), step, unit


def _unit(words: str, asked: _Asked) -> str:
    if not words.rstrip("."):
        return ""
    name = find_unit(words)
    if name is None:
        raise ValueError(f"We do not know the unit '{words[:20]}'. {_how_to_write(asked)}")
    _check_kind(name, asked)
    return name


def _check_kind(name: str, asked: _Asked) -> None:
    if UNITS[name].kind != UNITS[asked.unit].kind:
        raise ValueError(f"{name} is a unit of {UNITS[name].kind}. {_how_to_write(asked)}")


def _how_to_write(asked: _Asked) -> str:
    units = _UNITS_TO_WRITE.get(UNITS[asked.unit].kind)
    return f"Write the {asked.what} in {units}." if units else f"Write the {asked.what} as a bare figure."


def _number(text: str, asked: _Asked, unit: str) -> tuple[Decimal, Decimal]:
    """The decimal and the worth of its last figure; point or comma may be the decimal sign or part thousands."""
    sign = _decimal_sign(text, asked, unit)
    whole, _, part = text.rpartition(sign) if sign else (text, "", "")
    whole = whole or "0"
    thousands = r"[0-9]{1,3}(?:([ .,])[0-9]{3})(?:\1[0-9]{3})*"
    if not re.fullmatch(rf"[0-9]+|{thousands}", whole) or not re.fullmatch(r"[0-9]*", part):
        raise ValueError(f"'{text}' is not one figure. Write it without spaces, such as 1500 or 1.5.")
    figures = re.sub(r"[ .,]", "", whole)
    return Decimal(f"{figures}.{part}" if part else figures), Decimal(1).scaleb(-len(part))


def _decimal_sign(text: str, asked: _Asked, unit: str) -> str:
    """The sign that stands before the decimals, empty when there is none. ValueError asks back."""
    signs = [sign for sign in text if sign in ".,"]
    if not signs or (len(signs) > 1 and len(set(signs)) == 1):
        return ""
    if len(signs) > 1:
        return signs[-1]
    whole, part = text.split(signs[0])
    if len(part) != 3 or not re.fullmatch(r"[1-9][0-9]{0,2}", whole):
        return signs[0]
    if asked.decimal_comma is None:
        small, large = f"{Decimal(f'{whole}.{part}').normalize():f}", f"{whole}{part}"
        raise ValueError(
            f"{text} may be {f'{small} {unit}'.strip()} or {f'{large} {unit}'.strip()}. Write {small} or {large}."
        )
    return signs[0] if (signs[0] == ",") == asked.decimal_comma else ""


def rounded(value: Decimal, places: int) -> Decimal:
    """To so many decimals, half to the even figure (2.665 -> 2.66, 2.675 -> 2.68)."""
    return value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)


def shown(value: Decimal, unit: str, *, comma: bool = False) -> str:
    """12.50 g, 46 200 g, −0.3 °C: all decimals kept, thousands spaced from five digits, narrow no-break spaces."""
    if not value.is_finite():
        raise ValueError("Only a finite figure can be shown.")
    sign, figures = (MINUS, f"{-value:f}") if value < 0 else ("", f"{plain(value):f}")
    whole, point, part = figures.partition(".")
    if len(whole) >= 5:
        whole = f"{int(whole):,}".replace(",", THIN)
    gap = "" if unit in ("", "°") else THIN
    return f"{sign}{whole}{',' if point and comma else point}{part}{gap}{unit}"


def with_uncertainty(
    value: Decimal, u: Decimal, unit: str = "", *, comma: bool = False, one_figure: bool = False
) -> str:
    """10.50 ± 0.12 g: `u` to two figures, or as few as it has, the value to the same place, half to even.

    `one_figure` allows one figure when `u` begins with 3 to 9. `u` is above zero and in the unit of `value`.
    """
    if not value.is_finite() or not u.is_finite() or u <= 0:
        raise ValueError("An uncertainty is a finite figure above zero.")
    place = _place(u, one_figure)
    width = u.quantize(place, rounding=ROUND_HALF_EVEN)
    if width.adjusted() > u.adjusted():  # 0.0996 becomes 0.10, not 0.100
        place = _place(width, one_figure)
        width = width.quantize(place, rounding=ROUND_HALF_EVEN)
    near = value.quantize(place, rounding=ROUND_HALF_EVEN)
    return f"{shown(near, '', comma=comma)}{THIN}±{THIN}{shown(width, unit, comma=comma)}"


def _place(u: Decimal, one_figure: bool) -> Decimal:
    exponent = u.as_tuple().exponent
    if not isinstance(exponent, int):
        raise ValueError("An uncertainty is a finite figure above zero.")
    figures = 1 if one_figure and u.scaleb(-u.adjusted()) >= 3 else 2
    return Decimal(1).scaleb(max(u.adjusted() - figures + 1, exponent))
