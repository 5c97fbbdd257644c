"""The JSON door: shallow, no member twice, exact numbers, nothing that hides in text."""

from __future__ import annotations

import codecs
import json
import re
from decimal import Decimal
from typing import Any

from rest_framework.parsers import JSONParser

from catalog.ground.problems import refusal_with
from catalog.ground.refusal import TooLarge

_DEEPEST = 32
_MOST = 2_621_440


class StrictJSON(JSONParser):
    """JSON with decimals exact, depth at most 32, doubled members refused."""

    most_bytes = _MOST

    def parse(self, stream: Any, media_type: Any = None, parser_context: Any = None) -> Any:
        request = (parser_context or {}).get("request")
        if request is not None and request.META.get("HTTP_CONTENT_ENCODING", "identity") != "identity":
            raise refusal_with(415, "Send it unpacked: a packed body is not opened here.")
        body = stream.read(self.most_bytes + 1)
        if len(body) > self.most_bytes:
            raise TooLarge(f"At most {self.most_bytes // 1_000_000} MB at once. Send it in parts.")
        return read_json(body)


def read_json(body: bytes) -> Any:
    """The value of a JSON text. Refuses (400) what is not UTF-8, too deep, doubled, or holds NUL or half characters."""
    try:
        text = codecs.decode(body, "utf-8")
    except UnicodeDecodeError:
        raise refusal_with(400, "This is not UTF-8 text.") from None
    if _depth(text) > _DEEPEST:
        raise refusal_with(400, f"This is nested deeper than {_DEEPEST} levels.")
    try:
        value = json.loads(text, parse_float=Decimal, object_pairs_hook=_members, parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise refusal_with(400, f"This is not JSON: {error}.") from None
    if _hides(value):
        raise refusal_with(400, "A text holds a character that cannot be kept (NUL or half of one).")
    return value


def _depth(text: str) -> int:
    deepest = depth = 0
    for mark in re.findall(r'"(?:[^"\\]|\\.)*"|[\[\]{}]', text):
        if mark in "[{":
            depth += 1
            deepest = max(deepest, depth)
        elif mark in "]}":
            depth -= 1
    return deepest


def _members(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        raise ValueError("a member stands twice")
    return made


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number")


def _hides(value: Any) -> bool:
    if isinstance(value, str):
        return "\x00" in value or any("\ud800" <= c <= "\udfff" for c in value)
    if isinstance(value, dict):
        return any(_hides(k) or _hides(v) for k, v in value.items())
    return isinstance(value, list) and any(_hides(v) for v in value)
