"""EDTF text in plain words, for pages and papers; what is not of level 0 or 1 is shown as it stands."""

import re

from catalog.ground.say import MINUS, MONTHS

SEASONS = {"21": "spring", "22": "summer", "23": "autumn", "24": "winter"}


def in_words(text: str) -> str:
    """`1987~` -> `about 1987`, `1998/2003` -> `between 1998 and 2003`, empty or `XXXX` -> `date unknown`."""
    said = text.strip()
    if said in ("", "XXXX"):
        return "date unknown"
    if said.count("/") == 1:
        return _span_in_words(*said.split("/"))
    return _one_in_words(said)


def _span_in_words(left: str, right: str) -> str:
    if left == "..":
        return f"before {_one_in_words(right)}"
    if right == "..":
        return f"after {_one_in_words(left)}"
    if left == "":
        return f"up to {_one_in_words(right)}, beginning not known"
    if right == "":
        return f"from {_one_in_words(left)}, end not known"
    return f"between {_one_in_words(left)} and {_one_in_words(right)}"


def _one_in_words(said: str) -> str:
    core, mark = (said[:-1], said[-1]) if said.endswith(("?", "~", "%")) else (said, "")
    words = _unmarked(core)
    if mark in ("~", "%"):
        words = f"about {words}"
    return f"{words}, uncertain" if mark in ("?", "%") else words


def _unmarked(core: str) -> str:
    if found := re.fullmatch(r"(\d{4})-(\d\d)-(\d\d)(?:T(.+))?", core):
        time = f", {found[4]}" if found[4] else ""
        return f"{int(found[3])} {_month(found[2])} {_year(found[1])}{time}"
    if found := re.fullmatch(r"(\d{4})-(\d\d)(-XX)?", core):
        left_open = ", day not known" if found[3] else ""
        return f"{SEASONS.get(found[2]) or _month(found[2])} {_year(found[1])}{left_open}"
    if found := re.fullmatch(r"(\d{4})-XX(-XX)?", core):
        return f"{_year(found[1])}, {'day' if found[2] else 'month'} not known"
    if found := re.fullmatch(r"(\d{3})X", core):
        return f"the {found[1]}0s"
    if found := re.fullmatch(r"(\d\d)XX", core):
        return f"between {found[1]}00 and {found[1]}99"
    if found := re.fullmatch(r"Y?(-?)(\d{4,})", core):
        return f"the year {MINUS}{int(found[2])}" if found[1] else _year(found[2])
    return core


def _month(figures: str) -> str:
    return MONTHS[int(figures) - 1] if 1 <= int(figures) <= 12 else f"month {figures}"


def _year(figures: str) -> str:
    return str(int(figures)) if int(figures) else figures
