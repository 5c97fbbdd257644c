"""Words for days, hours, counts and amounts, as pages and papers say them. British English, no Django.

Figures and their units are parted by a narrow no-break space (U+202F), a day and its month by a no-break space (U+00A0).
"""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

THIN = "\u202f"
FIRM = "\u00a0"
MINUS = "\u2212"

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


# days and hours


def now() -> datetime:
    return datetime.now(UTC)


def today(zone: str) -> date:
    """The day it is in that time zone (`Europe/Amsterdam`)."""
    return now().astimezone(ZoneInfo(zone)).date()


def day(d: date) -> str:
    """9 April 2026"""
    return f"{d.day}{FIRM}{MONTHS[d.month - 1]} {d.year}"


def day_long(d: date) -> str:
    """Thursday 11 June 2026"""
    return f"{WEEKDAYS[d.weekday()]} {day(d)}"


def day_short(d: date, this_day: date) -> str:
    """9 Apr within the year of `this_day`, else 9 April 2025."""
    return f"{d.day}{FIRM}{MONTHS[d.month - 1][:3]}" if d.year == this_day.year else day(d)


def day_near(d: date, this_day: date) -> str:
    """Saturday 20 June; with its year when that is another one."""
    return f"{WEEKDAYS[d.weekday()]} {d.day}{FIRM}{MONTHS[d.month - 1]}" if d.year == this_day.year else day_long(d)


def instant(at: datetime, zone: str, *, seen_at: datetime | None = None) -> str:
    """today 14:02, yesterday 14:02, else 9 April 2026, 14:02: in that zone."""
    there = at.astimezone(ZoneInfo(zone))
    days = ((seen_at or now()).astimezone(ZoneInfo(zone)).date() - there.date()).days
    hour = f"{there:%H:%M}"
    return {0: f"today {hour}", 1: f"yesterday {hour}"}.get(days, f"{day(there.date())}, {hour}")


def ago(at: datetime, *, seen_at: datetime | None = None) -> str:
    """just now, five minutes ago, two hours ago, nine days ago, seven months ago, three years ago. What is to come is `in …`."""
    gap = (seen_at or now()) - at
    span = _span(abs(gap))
    return "just now" if not span else f"{span} ago" if gap > timedelta(0) else f"in {span}"


def _span(gap: timedelta) -> str:
    minutes = int(gap.total_seconds() // 60)
    for size, word in ((525_960, "year"), (43_830, "month"), (1440, "day"), (60, "hour"), (1, "minute")):
        if minutes >= size:
            return plural(minutes // size, word)
    return ""


def due_words(due: date, this_day: date) -> str:
    """in nine days, Saturday 20 June · tomorrow, Friday 12 June · today, Thursday 11 June · four days late, since Sunday 7 June."""
    days = (due - this_day).days
    named = day_near(due, this_day)
    if days < 0:
        return f"{plural(-days, 'day')} late, since {named}"
    near = {0: "today", 1: "tomorrow"}.get(days) or f"in {plural(days, 'day')}"
    return f"{near}, {named}"


# counts and lists


def number_word(n: int) -> str:
    """In words to ten, in figures above; nought is `no`, as in `no pieces`."""
    return NUMBERS[n] if 0 <= n <= 10 else figure(n)


def plural(n: int, one: str, many: str = "", *, words: bool = True) -> str:
    """three pieces, one piece, no pieces, 64 pieces; with `words=False` 3 pieces, 1 piece, 0 pieces (tables)."""
    return f"{number_word(n) if words else figure(n)} {one if n == 1 else many or one + 's'}"


def listed(things: Sequence[str], last: str = "and") -> str:
    """a · a and b · a, b and c"""
    if len(things) < 2:
        return "".join(things)
    return f"{', '.join(things[:-1])} {last} {things[-1]}"


def capital(sentence: str) -> str:
    """The sentence with its first letter large; the rest as it was."""
    return sentence[:1].upper() + sentence[1:]


# figures


def figure(value: Decimal | int | float, *, spaced_from: int = 5) -> str:
    """1500, 46 200, −0.3: thousands spaced from five digits, true minus, no empty noughts behind the point."""
    text = f"{_bare(value):f}"
    whole, point, part = text.removeprefix("-").partition(".")
    if len(whole) >= spaced_from:
        whole = f"{int(whole):,}".replace(",", THIN)
    return f"{MINUS if text.startswith('-') else ''}{whole}{point}{part}"


def _bare(value: Decimal | int | float) -> Decimal:
    number = Decimal(str(value))
    return number.quantize(Decimal(1)) if number == number.to_integral_value() else number.normalize()


def with_unit(value: Decimal | int | float, unit: str) -> str:
    """86.4 g"""
    return f"{figure(value)}{THIN}{unit}"


def mass(mass_g: Decimal | int | float | None) -> str:
    """86.4 g below a kilogram, 3.905 kg from there on; "not weighed" for none. No digit is added."""
    if mass_g is None:
        return "not weighed"
    grams = Decimal(str(mass_g))
    return with_unit(grams.scaleb(-3), "kg") if abs(grams) >= 1000 else with_unit(grams, "g")


def length(length_mm: Decimal | int | float | None) -> str:
    """4 mm below ten centimetres, 62 cm below ten metres, 12.4 m from there on; "not measured" for none."""
    if length_mm is None:
        return "not measured"
    mm = Decimal(str(length_mm))
    if abs(mm) < 100:
        return with_unit(mm, "mm")
    return with_unit(mm.scaleb(-1), "cm") if abs(mm) < 10_000 else with_unit(mm.scaleb(-3), "m")


def money(amount: Decimal | int | None, currency: str) -> str:
    """2 400 EUR, 2 400.50 EUR: never a bare figure; `currency` is its ISO 4217 code."""
    if amount is None:
        return "no value stated"
    value = Decimal(amount)
    whole, _, part = f"{abs(value):f}".partition(".")
    cents = part.rstrip("0")
    sign = MINUS if value < 0 else ""
    return f"{sign}{figure(int(whole), spaced_from=4)}{f'.{cents:0<2}' if cents else ''}{THIN}{currency}"


def share(part: int, whole: int) -> str:
    """212 of 318"""
    return f"{figure(part)} of {figure(whole)}"


_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def ordinal(n: int) -> str:
    """first to tenth in words, then 11th, 12th, 21st."""
    if 1 <= n <= len(_ORDINALS):
        return _ORDINALS[n - 1]
    ending = "th" if n % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(n % 10, "th")
    return f"{n}{ending}"
