"""What a label says of a cast, a piece, a place or a bag, by the kind of label. Pure; no site is ever named on one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from registry.accessions.labels import Label

# which kinds of label suit a thing, the usual one first
SUITED = {
    "cast": ("object", "piece", "small-piece", "showcase"),
    "piece": ("piece", "small-piece", "object"),
    "shelf": ("shelf", "crate"),
    "tray": ("tray", "shelf"),
    "crate": ("crate", "tray", "shelf"),
    "bag": ("bag", "piece"),
}


@dataclass(frozen=True)
class Thing:
    """Something that a label can be printed for. `kind` is one of SUITED; what is not known of it is empty."""

    kind: str
    number: str
    href: str
    what: str = ""
    common: str = ""
    latin: str = ""
    material: str = ""
    made: str = ""
    parts: str = ""
    part: str = ""
    form: str = ""
    lift: str = ""
    path: str = ""
    holds: str = ""
    fitness: str = ""
    contents: tuple[str, ...] = ()
    pk: int = 0
    has_pieces: bool = False

    @property
    def suited(self) -> tuple[str, ...]:
        return SUITED[self.kind]


def label_of(thing: Thing, kind: str) -> Label:
    """The label of this kind for this thing, most needed print first."""
    if kind == "small-piece":
        return Label(thing.number)
    if thing.kind in ("shelf", "tray", "crate"):
        return _of_place(thing, kind)
    if thing.kind == "bag":
        return Label(thing.number, lines=_told(thing.lift, thing.part))
    if kind == "showcase":
        return _showcase(thing)
    animal = thing.common or thing.latin or thing.what
    if kind == "piece":
        first = ", ".join(_told(thing.part, animal))  # what is too long for the label is cut at its end
        return Label(thing.number, lines=_told(first, thing.lift or thing.material, thing.parts))
    title = _capital(thing.common or ("" if thing.latin else thing.what))
    return Label(
        thing.number, title, thing.latin, _told(", ".join(_told(thing.part, thing.material, thing.parts)), thing.lift)
    )


def _of_place(thing: Thing, kind: str) -> Label:
    load = f"up to {thing.holds}" if thing.holds else ""
    if kind == "crate":
        return Label(thing.number, up=True, lines=_told(thing.what, load, thing.fitness))
    if thing.kind == "tray":
        return Label(thing.number, lines=_told(*thing.contents, "Lift the tray, not the piece."))
    return Label(thing.number, lines=_told(thing.path or thing.what, load, thing.fitness))


def _showcase(thing: Thing) -> Label:
    """What a visitor reads; the story is told on the visitor's page that the code opens."""
    poured = f"Poured in {thing.made}." if thing.made else ""
    words = " ".join(_told(f"{', '.join(_told(_capital(thing.form or 'a cast'), thing.material))}.", poured))
    return Label(thing.number, _capital(thing.common or thing.latin or "A cast"), thing.latin, (words,))


def heading(things: Sequence[Thing]) -> str:
    """`Label for 2016.1`, `Labels for 56 pieces`, `Labels for 12 things`."""
    if len(things) == 1:
        return f"Label for {things[0].number}"
    words = {"cast": "casts", "piece": "pieces", "bag": "bags", "tray": "trays", "crate": "crates", "shelf": "places"}
    kinds = {thing.kind for thing in things}
    return f"Labels for {len(things)} {words[kinds.pop()] if len(kinds) == 1 else 'things'}" if things else "Labels"


def _told(*words: str) -> tuple[str, ...]:
    return tuple(word for word in words if word)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
