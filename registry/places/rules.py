"""What hinders a place or a movement, and how places are said. Pure: facts in, sentences out."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal

from catalog.ground import say
from catalog.ground.refusal import Reason

# kinds of places that a cast is fixed to: its mount is also its place
FIXED_KINDS = frozenset({"frame"})
CONTAINER_KINDS = frozenset({"crate", "tray", "box", "van"})
# what would be taken for a page of ours below /places/ and /movements/
_RESERVED = frozenset({"new", "papers"})
_CODE = re.compile(r"[A-Za-z][A-Za-z0-9]*(-[A-Za-z0-9]+)*")
_LONGEST = {"name": 200, "who_enters": 200, "fitness": 5000, "note": 5000}
_ON, _AT = frozenset({"shelf", "bench", "wall", "side"}), frozenset({"station", "outside"})


# how places are said


def place_words(code: str, name: str, kind: str, *, movable: bool) -> str:
    """`shelf 3`, `K-12`, `Museum of the Low Shore`: a container by its code, what is called after its kind in small letters."""
    if movable:
        return code
    return name[:1].lower() + name[1:] if name.lower().startswith(f"{kind} ") else name


def at_place(code: str, name: str, kind: str, *, movable: bool, within: str = "") -> str:
    """`on shelf 3 in bay B`, `in K-12`, `at Museum of the Low Shore`. `within`: what the place stands in, already in words."""
    word = "on" if kind in _ON else "at" if kind in _AT else "in"
    said = f"{word} {place_words(code, name, kind, movable=movable)}"
    return f"{said} in {within}" if within else said


def now_there(what: str, where: str, n_pieces: int) -> str:
    """`K-12 is now on shelf 3, with 14 pieces.`"""
    with_them = f", with {say.plural(n_pieces, 'piece')}" if n_pieces else ""
    return f"{what} is now {where}{with_them}."


# places


def wrong_code(code: str, *, borne_by: str = "") -> list[Reason]:
    """A code has letters first, so that it never looks like an accession number, and is borne by one thing only."""
    if not _CODE.fullmatch(code) or len(code) > 20:
        sentence = "A place code begins with a letter and has letters, figures and hyphens, at most 20: B-3, K-12."
        return [Reason(sentence, "code", said=code)]
    if re.fullmatch(r"(?i)[edxp]-\d{4}-\d+[a-z]*", code):
        sentence = f"{code} looks like the number of an entry, an excavation, an exit or a paper. Take another code."
        return [Reason(sentence, "code", said=code)]
    if code.lower() in _RESERVED:
        return [Reason(f"{code} is the name of a page here. Take another code.", "code", said=code)]
    return [Reason(f"{code} is borne by {borne_by} already. Take another code.", "code", said=code)] if borne_by else []


def wrong_place(*, name: str, kind: str, kinds: Iterable[str], holds_kg: Decimal | None, **words: str) -> list[Reason]:
    """Reasons against what is said of a place."""
    found = []
    if not name.strip():
        found.append(Reason("Write what the place is called, such as Shelf 3.", "name"))
    if kind not in set(kinds):
        found.append(Reason("Choose what kind of place it is.", "kind", said=kind))
    if holds_kg is not None and not 0 < holds_kg < 1_000_000:
        found.append(Reason("What it holds is more than nothing, in kilograms.", "holds_kg", said=str(holds_kg)))
    for field_, text in {"name": name, **words}.items():
        if len(text) > _LONGEST[field_]:
            found.append(Reason(f"Shorten this to {_LONGEST[field_]} letters; it has {len(text)}.", field_))
    return found


def hinders_closing(code: str, *, n_in_it: int, n_at_home: int) -> list[Reason]:
    """A place is closed when nothing stands in it and nothing belongs there."""
    if n_in_it:
        return [Reason(f"Something stands in {code}: {say.plural(n_in_it, 'thing')}. Move it first.")]
    if n_at_home:
        belong = "one thing belongs" if n_at_home == 1 else f"{say.number_word(n_at_home)} things belong"
        return [Reason(f"{say.capital(belong)} in {code}. Give it another home place first.")]
    return []


def hinders_standing_in(code: str, target: str, path_of_target: Iterable[str]) -> list[Reason]:
    """A container does not go into itself, at any depth."""
    path = list(path_of_target)
    if code == target:
        return [Reason(f"{code} cannot go into itself.", "to", said=target)]
    if code in path:
        return [Reason(f"{code} cannot go into itself: {target} stands in it.", "to", said=target)]
    return []


# movements


@dataclass(frozen=True)
class Load:
    """What a place is said to hold, what is in it now and what would come, in kilograms as far as weighed."""

    holds_kg: Decimal | None = None
    there_kg: Decimal = Decimal(0)
    comes_kg: Decimal = Decimal(0)


def hinders_load(target: str, load: Load) -> list[Reason]:
    """The target takes the mass, as far as anybody weighed what is there and what comes."""
    if load.holds_kg is None or load.there_kg + load.comes_kg <= load.holds_kg:
        return []
    holds, would = say.with_unit(load.holds_kg, "kg"), say.with_unit(load.there_kg + load.comes_kg, "kg")
    return [
        Reason(f"{target} holds {holds}; with this it would bear {would}. Choose another place.", "to", said=target)
    ]


@dataclass(frozen=True)
class Moving:
    """The facts that one movement is judged by. `asks_reason`: why the thing is moved only with one (fragile, fixed)."""

    what: str
    target: str
    at: datetime
    at_day: date
    now: datetime
    because: str = ""
    back_on: date | None = None
    closed_target: bool = False
    already_there: bool = False
    in_parts: bool = False
    gone: str = ""
    asks_reason: str = ""
    load: Load = field(default_factory=Load)


def hinders_moving(m: Moving) -> list[Reason]:
    """Reasons against one movement."""
    found = []
    if m.in_parts:
        found.append(Reason(f"{m.what} is no longer whole. Move its parts.", "what", said=m.what))
    if m.gone:
        found.append(Reason(f"{m.what} is no longer in our care: {m.gone}.", "what", said=m.what))
    if m.closed_target:
        found.append(Reason(f"{m.target} is no longer in use. Choose another place.", "to", said=m.target))
    if m.already_there:
        found.append(Reason(f"{m.what} is at {m.target} already.", "to", said=m.target))
    if m.asks_reason and not m.because.strip():
        found.append(Reason(f"{m.asks_reason} Write why it is moved, and who helps.", "because"))
    if len(m.because) > 300:
        found.append(Reason(f"Shorten this to 300 letters; it has {len(m.because)}.", "because"))
    if m.at > m.now:
        sentence = "A movement that has not happened is not written. Write when it was moved."
        found.append(Reason(sentence, "at", said=m.at.isoformat()))
    if m.back_on and m.back_on < m.at_day:
        found.append(Reason("It cannot be due back before it is moved.", "back_on", said=m.back_on.isoformat()))
    return found + hinders_load(m.target, m.load)


def asks_reason(what: str, *, fixed_to: str = "", fragile: bool = False) -> str:
    """Why a thing is not moved without a reason; empty where it is."""
    if fixed_to:
        return f"{what} is fixed to {fixed_to}."
    return f"{what} is fragile." if fragile else ""
