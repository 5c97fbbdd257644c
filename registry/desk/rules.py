"""What can be done with what was found, what a typed sentence asks for, and how Today begins. Pure."""

from __future__ import annotations

import re
from dataclasses import dataclass

from catalog.ground import say
from catalog.ground.roles import KEEPER, PREPARATOR, READER, REGISTRAR, TECHNICIAN


@dataclass(frozen=True)
class Deed:
    """A verb, the act it asks for, its drawing, and where it is done for each kind of thing; `{}` is the number."""

    verb: str
    words: str
    act: str
    icon: str
    at: dict[str, str]


_MOVE, _HERE, _LABEL = "/movements/new/?of={}", "/movements/new/?to={}", "/labels/?of={}"
DEEDS = [
    Deed("move", "Move it", "move.do", "shelf", {"cast": _MOVE, "piece": _MOVE, "container": _MOVE}),
    Deed("put here", "Put something here", "move.do", "carry", {"place": _HERE, "container": _HERE}),
    Deed(
        "label",
        "Print its label",
        "label.print",
        "print",
        {"cast": _LABEL, "piece": _LABEL, "place": _LABEL, "container": _LABEL},
    ),
    Deed("write", "Record what it is", "cast.describe", "pencil", {"cast": "/casts/{}/change/"}),
    Deed(
        "determine",
        "Say which animal it is",
        "determination.propose",
        "examine",
        {"cast": "/casts/{}/determinations/new/"},
    ),
    Deed(
        "broke",
        "It broke",
        "breakage.record",
        "broke",
        {"cast": "/casts/{}/breakage/", "piece": "/breakages/new/?of={}"},
    ),
    Deed("publish", "Publish it", "cast.publish", "person", {"cast": "/casts/{}/visitor/"}),
]


def deeds_with(kind: str, verb: str = "") -> list[Deed]:
    """What can be done with a thing of this kind; with `verb` that one deed, if there is one."""
    return [deed for deed in DEEDS if kind in deed.at and (not verb or deed.verb == verb)]


@dataclass(frozen=True)
class Doing:
    """What a typed sentence asks for: a verb, with what, and where to."""

    verb: str
    what: str = ""
    to: str = ""


_SENTENCES = [
    (re.compile(r"bring in\b.*", re.IGNORECASE), "bring in"),
    (re.compile(r"(?:move|put) (?P<what>.+?) (?:to|in|into|on) (?P<to>.+)", re.IGNORECASE), "move"),
    (re.compile(r"(?:move|put) (?P<what>.+)", re.IGNORECASE), "move"),
    (
        re.compile(r"(?:print )?(?:the )?labels? (?:of |for )?(?P<what>.+)|print (?P<other>.+)", re.IGNORECASE),
        "label",
    ),
    (re.compile(r"(?:write|record|describe) (?P<what>.+)", re.IGNORECASE), "write"),
    (re.compile(r"determine (?P<what>.+)", re.IGNORECASE), "determine"),
    (re.compile(r"publish (?P<what>.+)", re.IGNORECASE), "publish"),
    (re.compile(r"(?P<what>.+?) (?:broke|is broken)|break (?P<other>.+)", re.IGNORECASE), "broke"),
]


def doing(text: str) -> Doing | None:
    """`move K-12 to B-3` -> move, K-12, B-3; None where no verb of ours begins it."""
    for sentence, verb in _SENTENCES:
        if found := sentence.fullmatch(text.strip()):
            said = {name: words.strip() for name, words in found.groupdict().items() if words}
            return Doing(verb, said.get("what") or said.get("other", ""), said.get("to", ""))
    return None


# today


@dataclass(frozen=True)
class BigAct:
    """One of the acts that stand large on Today."""

    words: str
    href: str
    act: str
    icon: str


_BRING = BigAct("Bring in an object", "/entries/new/", "entry.make", "add")
_MOVE_IT = BigAct("Move", "/movements/new/", "move.do", "shelf")
_BROKE = BigAct("It broke", "/breakages/new/", "breakage.record", "broke")
_DIG = BigAct("Write an excavation", "/excavations/new/", "excavation.write", "spade")
_LABELS = BigAct("Print labels", "/labels/", "label.print", "print")
_REGISTER = BigAct("Open the register", "/register/", "register.read", "book")
_CASTS = BigAct("Look at the casts", "/casts/", "record.read", "column")
_FIND = BigAct("Find", "/find/", "find", "find")

BIG_ACTS: dict[str, list[BigAct]] = {
    REGISTRAR: [_BRING, _MOVE_IT, _BROKE, _LABELS],
    KEEPER: [_BRING, _MOVE_IT, _REGISTER],
    TECHNICIAN: [_BRING, _MOVE_IT, _BROKE, _DIG],
    PREPARATOR: [_BRING, _MOVE_IT, _BROKE, _LABELS],
    READER: [_FIND, _CASTS, _REGISTER],
}


def big_acts(roles: frozenset[str]) -> list[BigAct]:
    """The three acts of the first of the roles that one holds."""
    return next((acts for role, acts in BIG_ACTS.items() if role in roles), [])


def how_much_waits(n: int, n_late: int) -> str:
    """Seven things wait for you. Two are late."""
    if not n:
        return "Nothing waits for you."
    waits = f"{say.capital(say.number_word(n))} {'thing waits' if n == 1 else 'things wait'} for you."
    if not n_late:
        return waits
    if n == n_late:
        return f"{waits} {'It is' if n == 1 else 'All are'} late."
    return f"{waits} {say.capital(say.number_word(n_late))} {'is' if n_late == 1 else 'are'} late."


# numbers that are not ours


def near_runs(n: int) -> list[int]:
    """Running numbers that a hand may have meant by this one: two figures swapped, one left out, one too many."""
    figures = str(n)
    swapped = [figures[:i] + figures[i + 1] + figures[i] + figures[i + 2 :] for i in range(len(figures) - 1)]
    left_out = [figures[:i] + figures[i + 1 :] for i in range(len(figures))]
    doubled = [figures[:i] + figures[i] + figures[i:] for i in range(len(figures))]
    near = [int(text) for text in [*swapped, *left_out, *doubled] if text and text[0] != "0"]
    return [m for m in dict.fromkeys(near) if m != n]
