"""What may be said of a photograph or a paper, and who may have its file. Pure: facts in, sentences out."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from catalog.ground.refusal import Reason
from catalog.media.rights import RIGHTS, rights_words

SAYABLE = frozenset({"view", "has_scale", "of_label", "shows_place", "caption", "rights", "by"})
_LONGEST = {"view": 80, "caption": 300, "what": 300, "where_it_lies": 300, "withdrawn_why": 300}
_FINE = ("3", "4", "none")


def wrong_in(changes: Mapping[str, Any]) -> list[Reason]:
    """Reasons against what is said of a photograph."""
    found = [Reason(f"A photograph has no {name!r}.", name) for name in changes if name not in SAYABLE]
    found += too_long(changes)
    if (rights := changes.get("rights")) and rights not in dict(RIGHTS):
        found.append(Reason("Choose one of the rights on the list.", "rights", said=str(rights)[:120]))
    return found


def too_long(changes: Mapping[str, Any]) -> list[Reason]:
    return [
        Reason(f"Shorten this to {most} letters; it has {len(changes[name])}.", name)
        for name, most in _LONGEST.items()
        if isinstance(changes.get(name), str) and len(changes[name]) > most
    ]


def wrong_in_paper(
    *, kind: str, kinds: list[str], what: str, where_it_lies: str, has_file: bool, earliest: date | None, today: date
) -> list[Reason]:
    """Reasons against a paper on record."""
    found = too_long({"what": what, "where_it_lies": where_it_lies})
    if kind not in kinds:
        found.append(Reason(f"A paper is one of: {', '.join(kinds)}.", "kind", said=kind))
    if not what.strip():
        found.append(Reason("Write in a line which paper it is.", "what"))
    if not has_file and not where_it_lies.strip():
        found.append(Reason("Add a photograph or PDF of the paper, or write where the original lies.", "where_it_lies"))
    if earliest and earliest > today:
        found.append(Reason("This day has not come yet. Write the day that stands on the paper.", "dated"))
    return found


def kept_back(category: str | None) -> bool:
    """A picture that shows this place is not for visitors. What is not known counts as kept back."""
    return category not in _FINE


def exact_is_secret(category: str | None) -> bool:
    """Others than the registrar and the keeper know this place by its cell only, or less."""
    return category != "none"


def hinders_original(*, has_position: bool, category: str | None, may_know_exact: bool) -> list[Reason]:
    """The original of a picture that a phone wrote its position into is as secret as the place."""
    if not has_position or may_know_exact or not exact_is_secret(category):
        return []
    return [
        Reason(
            "This file holds the position where it was taken, and that place is kept back. "
            "A registrar or the keeper can hand it out; the picture on this page is without it."
        )
    ]


def hinders_paper_file(*, kind: str, category: str | None, has_position: bool, may_know_exact: bool) -> list[Reason]:
    """A permit or a consent says where one digs."""
    says_where = has_position or kind in ("permit", "consent")
    if not says_where or may_know_exact or not exact_is_secret(category):
        return []
    return [
        Reason(
            "This paper says where it was dug, and that place is kept back. A registrar or the keeper can show it to you."
        )
    ]


def rights_said(address: str) -> str:
    """Rights in words, also where nobody has said anything."""
    return rights_words(address) if address else "not stated"


def file_name(number: str, what: str, sha256: str, ending: str) -> str:
    """A name for a file that goes out: `2016.1-photograph-1a2b3c4d.jpg`. Nothing of the name it came with."""
    plain = "".join(c if c.isascii() and (c.isalnum() or c in ".-_") else "-" for c in f"{number}-{what}").strip(".-")
    return f"{plain or 'file'}-{sha256[:8]}{ending}"


DAMAGED = "Its bytes no longer give the checksum {short}, so it is not handed out. Tell the registrar: a copy may still hold it."
GONE = "The file with the checksum {short} is not where it was kept. Tell the registrar: a copy may still hold it."
