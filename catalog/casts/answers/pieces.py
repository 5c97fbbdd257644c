"""What pieces say when asked: that they are gone, what was done with them, what happened to them."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import Piece
from catalog.casts.reads.pieces import why_gone
from catalog.casts.reads.refitting import joins_of_pieces
from catalog.casts.subject import Subject, built_on, what_hinders, what_hinders_any
from catalog.ground.asks import Event, history_of
from catalog.ground.past import as_events, changes_of
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor

_HANDLING = ("lend", "move", "break", "treat", "touch", "mount")


@what_hinders.answer
def gone(subject: Subject, deed: str) -> list[Reason]:
    """What broke, was struck off or went out of our care is not handled any more."""
    return _gone(subject) if deed in _HANDLING else []


@what_hinders_any.answer
def some_gone(subjects: list[Subject], deed: str) -> list[Reason]:
    """The same of many things at once; only what is gone costs a query."""
    return [r for s in subjects for r in _gone(s)] if deed in _HANDLING else []


def _gone(subject: Subject) -> list[Reason]:
    piece, cast = subject.piece, subject.cast
    if piece and not piece.present:
        return [Reason(why_gone(piece), remedy=piece.href)]
    if cast.closed_as:
        return [Reason(f"{cast.number} is no longer in our care: {cast.closed_as}.", remedy=cast.href)]
    return []


@built_on.answer
def joined_since(pieces: list[Piece]) -> list[str]:
    """A join made after the breakage, or one of its own that was fixed since."""
    told = []
    for join in joins_of_pieces(pieces):
        own = join.from_breakage and join.state == "dry fit"
        before = join.created_at < min(p.created_at for p in pieces)
        if not own and not before:
            told.append(f"{join.face_a.number} was joined to {join.face_b.number}.")
    return told


@history_of.answer
def changes_of_a_piece(reader: Actor, record: Any) -> list[Event]:
    return as_events(changes_of(record, most=30), "Piece") if isinstance(record, Piece) else []
