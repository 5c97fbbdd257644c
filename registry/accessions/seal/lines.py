"""The bytes of a line that are sealed (RFC 8785). What cannot be sealed is a ValueError, said in half a sentence."""

import json
import unicodedata
from datetime import UTC, datetime
from hashlib import sha256
from typing import Any

LARGEST_INTEGER = 2**53 - 1  # beyond it, readers that hold numbers as binary floats would see another one


def canonical(members: dict[str, Any], levels: int = 1) -> bytes:
    """The bytes that are sealed (RFC 8785): text, integers, nothing, and at most `levels` of objects or lists within.

    Refuses true and false, floats (decimals are text), integers beyond 2^53-1, names outside ASCII, text that is not
    NFC or holds half a surrogate pair. Within these kinds sorted `json.dumps` is RFC 8785, byte for byte.
    """
    if not isinstance(members, dict):
        raise ValueError("a line is an object with named members")
    _refuse_unsealable(members, levels, "line")
    return json.dumps(members, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()


def _refuse_unsealable(value: Any, levels: int, at: str) -> None:
    if value is None:
        return
    if isinstance(value, str):
        _refuse_text(value, at)
    elif isinstance(value, bool) or not isinstance(value, int | dict | list | tuple):
        raise ValueError(f"{at}: {type(value).__name__} cannot be sealed; decimals and dates go in as text")
    elif isinstance(value, int):
        if abs(value) > LARGEST_INTEGER:
            raise ValueError(f"{at}: {value} is beyond 2^53-1; it goes in as text")
    elif levels < 0:
        raise ValueError(f"{at}: nested deeper than a line may be")
    elif isinstance(value, dict):
        for name, inner in value.items():
            if not isinstance(name, str) or not name.isascii():
                raise ValueError(f"{at}: the name {name!r} is not text in ASCII")
            _refuse_unsealable(inner, levels - 1, f"{at}.{name}")
    else:
        for place, inner in enumerate(value):
            _refuse_unsealable(inner, levels - 1, f"{at}[{place}]")


def _refuse_text(text: str, at: str) -> None:
    if text.isascii():
        return
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        raise ValueError(f"{at}: the text holds half of a surrogate pair")
    if not unicodedata.is_normalized("NFC", text):
        raise ValueError(f"{at}: the text is not in composed form (NFC)")


def read_line(raw: bytes, levels: int = 1) -> dict[str, Any]:
    """The members of a line, only if `raw` is exactly what `canonical` writes for them: so none stands twice either."""
    try:
        members = json.loads(bytes(raw).decode())
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError):
        raise ValueError("its bytes are not JSON in UTF-8") from None
    if canonical(members, levels) != raw:
        raise ValueError("its bytes are not in the one order and spelling that is sealed (RFC 8785)")
    return dict(members)


def commit_of(salt: bytes, text: str) -> str:
    """64 hex digits that bind the register to a text without holding it: SHA-256 of 32 random bytes, then the text."""
    if len(salt) != 32:
        raise ValueError("the salt is 32 random bytes")
    _refuse_text(text, "text")
    return sha256(salt + text.encode()).hexdigest()


def bare_number(number: str) -> str:
    """The number without the collection's code: `2026.1` of `TH 2026.1`."""
    return number.rpartition(" ")[2]


def column_fault(raw: bytes, columns: dict[str, Any]) -> str | None:
    """The first column shown beside a line that differs from what is sealed in it.

    A number may leave the collection's code out; an empty column stands for nothing; an instant may be a `datetime`.
    """
    try:
        sealed = read_line(raw)
    except ValueError as why:
        return f"Line {columns.get('line', '')} cannot be read as a line of the register: {why}"
    for name, shown in columns.items():
        own = sealed.get(name)
        if isinstance(shown, datetime):
            shown = shown.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        if name == "number" and isinstance(own, str) and " " not in str(shown):
            own = bare_number(own)
        if shown != own and not (shown == "" and own is None):
            return f"Line {columns.get('line', sealed.get('line'))}: {name} shown {shown}, sealed {own}"
    return None
