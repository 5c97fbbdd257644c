"""Numbers of casts, pieces and entries: given after a pattern, read back, understood as typed or scanned, and sorted.

A pattern is a setting of the collection: text with `{n}` for the running number and, as a rule, `{year}`. A piece is
`.P` behind its cast's number, a further object of an entry a letter behind the entry's. No check character is used.
"""

import re
from collections.abc import Iterator, Sequence
from urllib.parse import quote, unquote

ACCESSION = "{year}.{n}"
ENTRY = "E-{year}-{n}"

_FIELD = re.compile(r"(\{year\}|\{n\})")
_FIGURES = {"{year}": r"(?P<year>[1-9][0-9]{3})", "{n}": r"(?P<n>[1-9][0-9]{0,8})"}
_PARTING = r"[\s./_-]"
_BEHIND = rf"(?:{_PARTING}*(?P<letter>[a-z]{{1,2}}))?(?P<pieces>(?:{_PARTING}+[1-9][0-9]{{0,8}})*)"

_LONGEST_PATTERN = 24
_LONGEST_TYPED = 200
_LONGEST_SORTED = 999


# given and read


def give(pattern: str, year: int, n: int) -> str:
    """The number for a year (1000 to 9999) and a running number from 1: `2016.1`. Without {year} the year says nothing."""
    if not 1000 <= year <= 9999 or not 1 <= n <= 999_999_999:
        raise ValueError(f"No number is given for year {year} and running number {n}.")
    return pattern.replace("{year}", str(year)).replace("{n}", str(n))


def read(pattern: str, text: str) -> tuple[int | None, int] | None:
    """Year (None when the pattern has none) and running number of a number given after this pattern; None for others."""
    exact = "".join(_FIGURES.get(part, re.escape(part)) for part in _FIELD.split(pattern))
    found = re.fullmatch(exact, text, re.IGNORECASE | re.ASCII)
    return _year_and_n(found) if found else None


def _year_and_n(found: re.Match[str]) -> tuple[int | None, int]:
    year = found.groupdict().get("year")
    return int(year) if year else None, int(found["n"])


def check_pattern(pattern: str) -> list[str]:
    """Sentences on what hinders this pattern; none when it can stand."""
    between = _FIELD.sub("", pattern)
    said = []
    if pattern.count("{n}") != 1 or pattern.count("{year}") > 1:
        said.append("The pattern needs {n} for the running number once, and {year} once or not at all: {year}.{n}.")
    if not re.fullmatch(r"[A-Za-z0-9._-]*", between) or len(pattern) > _LONGEST_PATTERN:
        said.append(
            f"A number is made of letters A to Z, figures, points, hyphens and _, and its pattern of at most "
            f"{_LONGEST_PATTERN} characters. Leave the others out."
        )
    if re.search(r"[0-9}]\{|\}[0-9]", pattern):
        said.append(
            "Put a point or a hyphen between {year}, {n} and other figures, so that the number can be read back."
        )
    if pattern and not pattern.endswith(("{n}", "{year}")):
        said.append("End the pattern with {n} or {year}: the number of a piece is written behind it.")
    if re.match(r"[._-]", pattern):
        said.append("Begin the pattern with a letter, {year} or {n}.")
    if not said and pattern[0].isalpha() and "{year}" not in pattern:
        said.append(f"{give(pattern, 2026, 12)} looks like the code of a place. Put {{year}} into the pattern.")
    return said


def entry_object(number: str, index: int) -> str:
    """The number of the first, second, third … object of one entry: `E-2026-14`, `E-2026-14b`, `E-2026-14c`, … `z`, `aa`."""
    if index < 1:
        raise ValueError("The objects of an entry are counted from 1.")
    letters = ""
    while index > 0:
        index, place = divmod(index - 1, 26)
        letters = chr(ord("a") + place) + letters
    return number if letters == "a" else number + letters


# typed and scanned


def normalise(text: str, code: str, *, patterns: Sequence[str] = (ACCESSION, ENTRY)) -> list[str]:
    """What a typed or scanned text may mean, likeliest first, each once; empty when it can be no number.

    As typed, without the collection's `code`, in the form of each pattern, as the code of a place (`k 12` -> `K-12`).
    Upper and lower case of the first is as typed: compare without regard to case.
    """
    said = _clean(text)
    if not said:
        return []
    bare = _without_code(said, code)
    found = [said, bare]
    for pattern in patterns:
        found += [number for number in (_loosely(pattern, bare), _loosely(pattern, said)) if number]
    if letters := re.fullmatch(rf"([A-Za-z]+)((?:{_PARTING}*[0-9]+)+)", said):
        found.append("-".join([letters[1], *re.findall(r"[0-9]+", letters[2])]).upper())
    return list(dict.fromkeys(found))


_FULL_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)} | {0x3000: 0x20}
_DASHES = dict.fromkeys((0x2010, 0x2011, 0x2012, 0x2013, 0x2014, 0x2212), 0x2D)


def _clean(text: str) -> str:
    """One line of a sane length; of an address only what stands last in its path; full-width signs made plain."""
    said = text.translate(_FULL_WIDTH | _DASHES).strip()
    path = re.sub(r"^[A-Za-z][A-Za-z0-9+.-]*://[^/]*", "/", said)
    if path.startswith("/") or re.search(r"/q/", path, re.IGNORECASE):
        said = re.split(r"[?#]", path)[0].rstrip("/").rpartition("/")[2]
    said = " ".join(unquote(said).translate(_FULL_WIDTH | _DASHES).split())
    return said if len(said) <= _LONGEST_TYPED and said.isprintable() and "\ufffd" not in said else ""


def _without_code(said: str, code: str) -> str:
    """`TH 2016.1` -> `2016.1`; a longer word that only begins like the code stays whole."""
    found = re.fullmatch(rf"{re.escape(code)}(?![A-Za-z]){_PARTING}*(.+)", said, re.IGNORECASE)
    return found[1] if code and found else said


def _loosely(pattern: str, said: str) -> str | None:
    """The number this pattern would give, when only case and what stands between its parts differ."""
    fields = _FIELD.split(pattern)
    loose = "".join(_FIGURES.get(part) or _loose_text(part) for part in fields)
    found = re.fullmatch(loose + _BEHIND, said, re.IGNORECASE | re.ASCII)
    if not found:
        return None
    year, n = _year_and_n(found)
    pieces = "".join("." + figures for figures in re.findall(r"[0-9]+", found["pieces"]))
    return give(pattern, year or 1000, n) + (found["letter"] or "").lower() + pieces


def _loose_text(text: str) -> str:
    """Letters and figures as they are; what parts them may differ, and may be left out beside a letter."""
    parts = [part for part in re.split(r"([._-]+)", text) if part]
    must_part = len(parts) == 1 and parts[0][0] in "._-"
    return "".join(
        _PARTING + ("+" if must_part else "*") if part[0] in "._-" else f"{re.escape(part)}{_PARTING}*"
        for part in parts
    )


def public_path_part(number: str) -> str:
    """The number as one part of an address: everything but A-Z a-z 0-9 . - _ is percent-encoded (UTF-8)."""
    return quote(number, safe="").replace("~", "%7E")


# sorted


Run = tuple[int, str, int]


def natural_key(text: str) -> tuple[str | Run, ...]:
    """Sorts as people count: 2 < 12 < 12 bis < 12a. Text and figures in turns, text first, so any two can be compared.

    A run of figures sorts by its value, then by its length (1 before 01); text without regard to case. Only the first
    999 characters count.
    """
    return tuple(_turns(text))


def sort_text(text: str) -> str:
    """A string whose plain order of bytes (UTF-8) is the natural order: for a column compared byte by byte.

    Before each run of figures stand U+0001 and one character for its length without leading noughts (U+0030 + length),
    behind it one U+10FFFF for each of these noughts. Never longer than three times the text.
    """
    return "".join(part if isinstance(part, str) else _sort_run(*part) for part in _turns(text))


def _sort_run(n_figures: int, figures: str, length: int) -> str:
    return f"\x01{chr(0x30 + n_figures)}{figures}" + "\U0010ffff" * (length - n_figures)


def _turns(text: str) -> Iterator[str | Run]:
    plain = text.translate(_FULL_WIDTH).strip()[:_LONGEST_SORTED]
    for turn, part in enumerate(re.split(r"([0-9]+)", plain)):
        if turn % 2:
            value = part.lstrip("0")
            yield len(value), value, len(part)
        else:
            yield re.sub(r"[\x00-\x1f\U0010ffff]", " ", part.casefold())
