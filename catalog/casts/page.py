"""What the page of a cast or a piece shows: the seven questions, answered by the rooms in the order of the house."""

from __future__ import annotations

from typing import Any

from catalog.casts import reads
from catalog.casts.models import BreakFace, Cast, Join, Piece
from catalog.casts.reads.pieces import above, why_gone
from catalog.casts.reads.refitting import faces_of, joins_of_faces
from catalog.casts.rules.pieces import TAKEN_BACK
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
    """What the page of a piece shows: as a cast, shorter; its faces and joins; what it broke from and into."""
    was = list(piece.was.select_related("cast").order_by("pk"))
    past: list[Event] = [e for one in (piece, *was) for e in history_of(reader, one)]
    shown = piece_panels(reader, piece)
    bearing = faces_of(reader, piece)
    joins = list(joins_of_faces(bearing))
    children = piece.children.filter(struck_off="").select_related("cast")
    return {
        "piece": piece,
        "cast": piece.cast,
        "asks": [ask for key, question in QUESTIONS if (ask := _ask(key, question, shown))["panels"]],
        "gone": "" if piece.present else why_gone(piece),
        "can_put_back": bool(piece.struck_off) and piece.struck_off != TAKEN_BACK,
        "above": above(piece),
        "was": was,
        "parted": list(piece.parted.select_related("cast").order_by("sort")),
        "children": list(children.order_by("sort")),
        "crumbs": list(piece.crumb_lots.filter(mass_g__isnull=False)),
        "faces": [_face_row(face, joins, piece.present) for face in bearing],
        "joins": joins,
        "over": [j for j in joins if not j.standing],
        "formers": list(piece.former_numbers.all()),
        "past": sorted(past, key=lambda e: e.at, reverse=True)[:_NEWEST],
    }


def _face_row(face: BreakFace, joins: list[Join], present: bool) -> dict[str, Any]:
    """A face with the join that it is in now."""
    join = next((j for j in joins if j.standing and face.pk in (j.face_a_id, j.face_b_id)), None)
    other = None if join is None else join.face_b if join.face_a_id == face.pk else join.face_a
    is_open = present and join is None and not face.natural_end and not face.divided
    return {"face": face, "join": join, "other": other, "open": is_open}
