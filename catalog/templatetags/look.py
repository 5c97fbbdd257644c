"""Tags and filters of every page: icons, field tags, scale bars, days and hours, figures, names of animals.

Built into all templates by the settings, so no `load` is needed. Whatever comes from people is escaped here.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any
from urllib.parse import quote

from django import template
from django.template.loader import render_to_string
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe
from django.utils.timezone import get_current_timezone_name

from catalog.ground import drawings, latin, say
from catalog.ground.icons import icon as icon_svg

register = template.Library()


# drawings


@register.simple_tag
def icon(name: str, spoken: str = "") -> SafeString:
    """`{% icon "scan" %}`; with `spoken` only where no word stands beside it."""
    return mark_safe(icon_svg(name, spoken))


@register.simple_tag
def tag(number: str, href: str | None = None, big: bool = False, pencil: bool = False) -> SafeString:
    """The field tag of a number. Without `href` it leads to `/q/<number>/`, which finds whatever bears it; `href=""` is no link."""
    kind = "tag" + (" big" if big else "") + (" in-pencil" if pencil else "")
    if href is None and not (big or pencil):
        href = f"/q/{quote(str(number), safe='')}/"
    if not href:
        return format_html('<span class="{}">{}</span>', kind, number)
    return format_html('<a class="{}" href="{}">{}</a>', kind, href, number)


@register.simple_tag
def scalebar(part: float, whole: float, uncertainty: float = 0, label: str = "") -> SafeString:
    """A share as a scale bar, spoken as `label` or `212 of 318`. `uncertainty` is in the unit of `part`."""
    if not whole:
        return SafeString("")
    spoken = label or f"{say.figure(part)} of {say.figure(whole)}"
    return mark_safe(
        drawings.scale_bar(float(part) / float(whole), uncertainty=float(uncertainty) / float(whole), title=spoken)
    )


@register.simple_tag
def outline(nest_form: str, title: str = "") -> SafeString:
    """A cast in outline by the form of its nest, for rows without a photograph."""
    return mark_safe(drawings.outline(nest_form, title))


@register.simple_tag
def empty_dig(title: str = "An empty hole in the ground") -> SafeString:
    return mark_safe(drawings.empty_dig(title))


# parts with a body: {% note "caution" icon="carry" %} … {% endnote %}


@register.simple_block_tag
def note(content: str, state: str = "", icon: str = "", alert: bool = False) -> str:
    return _part("note", body=content, state=state, icon=icon, alert=alert)


@register.simple_block_tag
def sheet(content: str, heading: str = "", level: int = 2, tight: bool = False) -> str:
    return _part("sheet", body=content, heading=heading, level=level, tight=tight)


@register.simple_block_tag
def ask(content: str, question: str, small: str = "", name: str = "") -> str:
    """One of the seven questions, inside `<div class="asks">`."""
    return _part("ask", body=content, question=question, small=small, name=name)


@register.simple_block_tag
def standing(content: str, say: str, state: str = "") -> str:
    """The state in one sentence; the body holds lack list, acts, whatever else."""
    return _part("standing", body=content, say=say, state=state)


def _part(part: str, **facts: Any) -> str:
    return render_to_string(f"look/parts/{part}.html", facts)


# days and hours


@register.filter
def day(value: date | None) -> str:
    return say.day(value) if value else ""


@register.filter
def day_long(value: date | None) -> str:
    return say.day_long(value) if value else ""


@register.filter
def day_short(value: date | None) -> str:
    return say.day_short(value, _today()) if value else ""


@register.filter
def due(value: date | None) -> str:
    """in nine days, Saturday 20 June"""
    return say.due_words(value, _today()) if value else ""


@register.filter
def instant(value: datetime | None) -> str:
    return say.instant(value, get_current_timezone_name()) if value else ""


@register.filter
def ago(value: datetime | None) -> str:
    return say.ago(value) if value else ""


@register.simple_tag
def moment(value: date | datetime | None) -> SafeString:
    """A day or an hour in its `<time>`."""
    if value is None:
        return SafeString("")
    words = instant(value) if isinstance(value, datetime) else say.day(value)
    return format_html('<time datetime="{}">{}</time>', value.isoformat(), words)


@register.filter
def edtf(value: str | None) -> str:
    """An uncertain date in plain words."""
    from catalog.ground.edtf import in_words

    return in_words(value or "")


def _today() -> date:
    return say.today(get_current_timezone_name())


# figures


@register.filter
def figure(value: Any) -> str:
    return "" if value in (None, "") else say.figure(value)


@register.filter
def mass(value: Decimal | None) -> str:
    """A mass in grams as `86.4 g` or `3.905 kg`."""
    return say.mass(value)


@register.filter
def extent(value: Decimal | None, unit: str = "mm") -> str:
    """A length as `4 mm`, `62 cm` or `12.4 m`; `unit` says what the value is in. (`length` is Django's own.)"""
    factor = {"mm": 1, "cm": 10, "m": 1000}[unit]
    return say.length(None if value is None else Decimal(str(value)) * factor)


@register.filter
def money(value: Decimal | None, currency: str) -> str:
    return say.money(value, currency)


@register.filter
def in_number(n: int, forms: str) -> str:
    """`{{ n|in_number:"piece,pieces" }}` -> three pieces; one form is enough where the other only adds an s."""
    one, _, many = forms.partition(",")
    return say.plural(n, one, many)


@register.filter
def number_word(n: int) -> str:
    return say.number_word(n)


@register.filter
def listed(things: list[Any]) -> str:
    return say.listed([str(thing) for thing in things])


# names of animals


@register.filter
def latin_name(value: str | None) -> SafeString:
    """Genus and epithets in their own italic, spoken as Latin; qualifiers and authors upright."""
    runs = latin.name_in_parts(value or "")
    return format_html_join(" ", "{}", ((_run(words, is_latin),) for words, is_latin in runs))


register.filter("latin", latin_name)


def _run(words: str, is_latin: bool) -> str:
    return format_html('<i class="latin" lang="la">{}</i>', words) if is_latin else words
