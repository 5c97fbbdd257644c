"""What the page of a cast or a piece shows: the seven questions, answered by the rooms in the order of the house."""

from __future__ import annotations

from typing import Any

from catalog.casts import reads
from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Subject, panels, piece_panels, rests_on, standing_of
from catalog.ground.asks import Event, Panel, history_of
from catalog.ground.roles import Actor

QUESTIONS = [
    ("is", "What it is"),
    ("where", "Where it is"),
    ("state", "What state it is in"),
    ("who", "Who has it"),
    ("how much", "How much is here"),
    ("may", "What may be done"),
    ("rests", "What rests on it"),
]
_NOT_YET = {
    "where": "Nobody has said yet where it is.",
    "state": "Nobody has examined it yet.",
    "who": "Nobody has said yet who has it.",
    "may": "Nothing is barred for it.",
    "rests": "Nothing rests on it yet: no figure, no table.",
}
_NEWEST = 10


def cast_facts(reader: Actor, cast: Cast) -> dict[str, Any]:
    """Everything the page of a cast needs. The number of queries does not grow with its pieces."""
    full = reads.parts_at_hand(cast)
    shown = panels(reader, full)
    past = sorted(history_of(reader, full), key=lambda e: e.at, reverse=True)
    return {
        "cast": full,
        "asks": [_ask(key, question, shown) for key, question in QUESTIONS],
        "picture": next((p for p in shown if p.question == "picture"), None),
        "standing": next(iter(sorted(standing_of(reader, full), key=lambda s: s.rank)), None),
        "past": past[:_NEWEST],
        "older": len(past) > _NEWEST,
        "rests": rests_on(Subject(full)),
    }


def _ask(key: str, question: str, shown: list[Panel]) -> dict[str, Any]:
    mine = sorted((p for p in shown if p.question == key), key=lambda p: p.place)
    return {"key": key, "question": question, "panels": mine, "not_yet": "" if mine else _NOT_YET.get(key, "")}


def piece_facts(reader: Actor, piece: Piece) -> dict[str, Any]:
    """What the page of a piece shows: as a cast, shorter."""
    past: list[Event] = sorted(history_of(reader, piece), key=lambda e: e.at, reverse=True)
    shown = piece_panels(reader, piece)
    return {
        "piece": piece,
        "cast": piece.cast,
        "asks": [ask for key, question in QUESTIONS if (ask := _ask(key, question, shown))["panels"]],
        "children": list(piece.children.order_by("sort")),
        "formers": list(piece.former_numbers.all()),
        "past": past[:_NEWEST],
    }
