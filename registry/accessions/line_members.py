"""The members of each kind of register line, and how a line reads in words. Pure; what is sealed is text, whole numbers and nothing."""

from __future__ import annotations

import unicodedata
from datetime import datetime
from decimal import Decimal
from typing import Any
from urllib.parse import urlsplit

VERSION = 1
KINDS = {
    "opening": "opening",
    "accession": "accession",
    "transcribed": "taken over",
    "correction": "correction",
    "title change": "title change",
    "void": "void",
    "deaccession": "deaccession",
    "restored": "restored",
    "key": "key",
}
# members of a line that a correction may put right; a number never
CORRECTABLE = {
    "accession": ["object", "pieces", "mass_g", "entry", "date"],
    "transcribed": ["object", "date"],
    "void": [],
    "opening": ["title"],
}


def sealed(text: str) -> str:
    """The text as it is sealed: composed letters (NFC), no blank edges."""
    return unicodedata.normalize("NFC", text).strip()


def origin_of(base_address: str, code: str) -> str:
    """Which register this is, in all its lines: `casts.example/TH`. Fixed by the opening line."""
    host = (urlsplit(base_address).hostname or "localhost").replace("+", "")
    return f"{host}/{''.join(code.split()).replace('+', '')}"


def instant_text(at: datetime) -> str:
    """UTC, whole seconds: 2026-03-05T10:02:11Z. `at` is in UTC."""
    return at.strftime("%Y-%m-%dT%H:%M:%SZ")


def decimal_text(value: Decimal | None) -> str | None:
    """412.6, without empty noughts behind the point; nothing for nothing."""
    return None if value is None else f"{value.normalize():f}"


def object_words(description: str, animal: str, material: str) -> str:
    """The brief description of a line: what it is, which animal, of what; at most 500 letters. No place is named here."""
    parts = [description.strip().rstrip(".")]
    said = description.casefold()
    if animal and animal.casefold() not in said:
        parts.append(animal)
    if material and material not in ("other", "unknown") and material.casefold() not in said:
        parts.append(material)
    return sealed(", ".join(p for p in parts if p))[:500].strip()


def source_words(*, way: str, from_whom: str = "", excavation: str = "", permit: str = "") -> str:
    """From whom or how it came, as the register keeps it beside the line: erasable, so only its hash is sealed."""
    if way == "own excavation":
        dig = f"own excavation {excavation}".strip()
        return sealed(f"{dig}, permit {permit}" if permit else dig)
    if way == "found in the collection":
        return "found in the collection, title unproven"
    joint = {"gift": "gift of", "bequest": "bequest of", "purchase": "bought of", "exchange": "exchange with"}
    return sealed(f"{joint.get(way, 'transfer from')} {from_whom or 'a person not named'}" if way else from_whom)


def accession_members(
    *,
    number: str,
    entry: str | None,
    object: str,
    pieces: int | None,
    mass_g: Decimal | None,
    title: str,
    from_commit: str,
    act: str,
    date: str = "",
) -> dict[str, Any]:
    """`date` (EDTF) only where the accession was done on another day than it is written."""
    made: dict[str, Any] = {
        "number": number,
        "entry": entry,
        "object": sealed(object),
        "pieces": pieces,
        "mass_g": decimal_text(mass_g),
        "title": title,
        "from_commit": from_commit,
        "act": act,
    }
    return made | ({"date": date} if date else {})


def transcribed_members(
    *, number: str, date: str, object: str, title: str, source: dict[str, str | None]
) -> dict[str, Any]:
    """What the older register says, and where it says it. An empty member of the source is left out."""
    kept = {k: sealed(v) for k, v in source.items() if v}
    return {
        "number": number,
        "date": date or None,
        "object": sealed(object),
        "title": title,
        "source": kept,
    }


def in_words(members: dict[str, Any], *, source: str = "") -> str:
    """A line read aloud, without its number and day."""
    kind = members.get("kind", "")
    if kind == "opening":
        return f"The register of {members.get('title')} is opened."
    if kind == "correction":
        was = members.get("was")
        return (
            f"Correction of line {members.get('corrects')}: {_called(members.get('field'))} is {members.get('is')}"
            f"{f', not {was}' if was not in (None, '') else ''}."
        )
    if kind == "void":
        return f"Number closed: {members.get('ground')}"
    if kind == "title change":
        return f"Title is {members.get('title')}, it was {members.get('was') or 'not stated'}: {members.get('ground')}"
    if kind == "transcribed":
        return f"{members.get('object')}. {taken_over_words(members.get('source') or {})}."
    tail = f" {source[:1].upper()}{source[1:]}." if source else ""
    return f"{members.get('object', '')}.{tail}"


def taken_over_words(source: dict[str, Any]) -> str:
    """Taken over from Register book 1, page 14, entry 3"""
    where = [str(source.get("book", ""))]
    where += [f"{name} {source[name]}" for name in ("page", "entry") if source.get(name)]
    return f"Taken over from {', '.join(w for w in where if w)}"


def _called(field: object) -> str:
    return {
        "mass_g": "the mass in grams",
        "pieces": "the number of parts",
        "date": "the date",
        "from_commit": "the source",
    }.get(str(field), f"the {field}")
