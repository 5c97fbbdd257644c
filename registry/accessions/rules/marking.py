"""The number put on the object itself: how, and what not to use on which material. Pure.

The rules are the trade's (long-lasting yet removable; never on a break face, a chamber wall or a measured surface);
what is said of single materials beyond that is common practice, from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from catalog.ground.refusal import Reason

METHODS: list[tuple[str, str]] = [
    ("tied tag", "A tag, tied on"),
    ("ink on a barrier layer", "Ink on a barrier layer"),
    ("label laid in", "A label laid in its box or bag"),
    ("plate on the mount", "A plate on the mount"),
    ("other", "Another way"),
]
METALS = frozenset({"zinc", "aluminium", "lead"})
RESINS = frozenset({"polyester resin", "epoxy", "silicone-cast resin"})


@dataclass(frozen=True)
class MarkingSaid:
    """How a number was put on an object. `on` None is today, `by` None whoever writes it."""

    method: str
    where: str = ""
    with_what: str = ""
    by: Any = None
    on: date | None = None
    read_back: bool = False


@dataclass(frozen=True)
class Caution:
    """A rule in a few words, and why."""

    rule: str
    why: str


_EVERYWHERE = Caution(
    "Where it can be read and does no harm.",
    "Not on a break face, a chamber wall or a surface that is measured; to be read without turning the cast over. "
    "It has to last, and to come off again. Nothing that sticks by tape.",
)
_UNKNOWN = Caution(
    "Tie a tag on, and use nothing wet.",
    "Nobody has said what it is made of. What is harmless on plaster melts wax and clouds resin.",
)
_OF = {
    "plaster": Caution(
        "No ink on bare plaster.",
        "Plaster drinks it, and it never comes out. Lay a barrier layer first, let it dry, and try it where it does not show. "
        "Nothing on plaster that is still damp.",
    ),
    "wax": Caution(
        "No varnish, no solvent, nothing warm.",
        "Lacquer and pens with solvent eat into wax, and ink does not hold. Tie a tag on, with a soft tape that does not cut.",
    ),
    "resin": Caution(
        "No lacquer with solvent, no acetone.",
        "Resin clouds and cracks under them, sometimes only after weeks. Tie a tag on.",
    ),
    "metal": Caution(
        "No engraving, no punch, no scratching.",
        "It takes from the surface that is evidence. No acid ink, no wire of another metal: they corrode it. Tie a tag on.",
    ),
    "lead": Caution("Gloves for lead, and wash your hands.", "Its dust and rubbed-off metal are poisonous."),
    "expanding foam": Caution(
        "No solvent, no pressure.",
        "Foam collapses under a pen, and solvents eat some kinds of it. Tie a tag on, loosely.",
    ),
}


def cautions_for(materials: list[str]) -> list[Caution]:
    """What to mind when a number is put on things of these materials: for all of them first, then for each."""
    keys: list[str] = []
    for material in materials:
        keys.append("metal" if material in METALS else "resin" if material in RESINS else material)
        if material == "lead":
            keys.append("lead")
    found = [_OF.get(key, _UNKNOWN) for key in dict.fromkeys(keys)]
    return [_EVERYWHERE, *dict.fromkeys(found)]


def wrong_marking(said: MarkingSaid, *, today: date) -> list[Reason]:
    """Reasons against one marking: how it was done is needed; nothing was marked in the future."""
    found = []
    if not said.method.strip():
        found.append(Reason("Say how the number was put on it.", "method"))
    if said.method == "other" and not said.with_what.strip():
        found.append(Reason("Write how it was done, and with what.", "with_what"))
    if said.on and said.on > today:
        found.append(Reason("This day has not come yet. Write the day it was done.", "on", said=said.on.isoformat()))
    for name, most in (("method", 120), ("where", 200), ("with_what", 200)):
        if len(getattr(said, name)) > most:
            found.append(Reason(f"Shorten this to {most} letters.", name))
    return found


def hinders_marking(number: str, *, closed_as: str) -> list[Reason]:
    """What is so of the object that no number is put on it here."""
    if closed_as:
        return [Reason(f"{number} is no longer in our care: {closed_as}. Nobody here can put a number on it.")]
    return []


def wrong_gone(why: str, on: date | None, *, since: date, today: date) -> list[Reason]:
    """Reasons against writing that a number is no longer on the object."""
    found = [] if why.strip() else [Reason("Write what became of it: washed off, torn off, taken off.", "why")]
    if len(why) > 200:
        found.append(Reason("Shorten this to 200 letters.", "why"))
    if on and on > today:
        found.append(Reason("This day has not come yet.", "on", said=on.isoformat()))
    if on and on < since:
        found.append(Reason("It cannot be gone before it was put on.", "on", said=on.isoformat()))
    return found
