"""What happened: movements of a cast, its pieces and the containers it stood in; of a container; hand-overs."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Subject
from catalog.ground.asks import Event, history_of
from catalog.ground.past import as_events, changes_of
from catalog.ground.roles import Actor, may
from registry.places import reads
from registry.places.models import Custody, Place

_MOST = 200
# typed later than a day after it happened: an "as of" answer says that it was learnt later
_AT_ONCE = timedelta(days=1)


def _learnt(at: datetime, written_at: datetime) -> datetime | None:
    return written_at if written_at - at > _AT_ONCE else None


@history_of.answer
def moves_of_a_cast(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Cast) or not may(reader, "place.read"):
        return []
    moves = reads.moves_on_page(reader, record)
    return [_moved(m) for m in moves] + _carried(reader, Subject(record)) + _hands(record)


@history_of.answer
def moves_of_a_piece(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Piece) or not may(reader, "place.read"):
        return []
    moves = [m for m in reads.moves_on_page(reader, record.cast) if m.piece_id == record.pk]
    return [_moved(m) for m in moves] + _carried(reader, Subject(record.cast, record))


@history_of.answer
def past_of_a_place(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Place) or not may(reader, "place.read"):
        return []
    moves = reads.moves_of_container(reader, record)[:_MOST] if record.movable else []
    return [_moved(m) for m in moves] + as_events(changes_of(record, _LABELS, most=30), "Place")


_LABELS = {
    "name": "name",
    "kind": "kind",
    "parent": "what it stands in",
    "movable": "whether it moves",
    "holds_kg": "what it holds, kg",
    "fitness": "what it is fit for",
    "who_enters": "who enters",
    "note": "note",
    "closed_on": "closed on",
}


def _moved(m: Any) -> Event:
    what = f"Piece {m.piece.suffix}" if m.piece else m.container.code if m.container else ""
    to = reads.where_words_long(m.to_place) if m.to_place else "out of the house"
    if m.replaces_id:
        wrong = reads.where_words(m.replaces.to_place) if m.replaces.to_place else "out of the house"
        sentence = f"{what} was {to}, not {wrong}" if what else f"It was {to}, not {wrong}"
    elif m.put_right:
        sentence = f"{what or 'It'} was written as moved {to}; put right later"
    else:
        came = f", from where it stood {reads.where_words(m.from_place)}" if m.from_place else ""
        sentence = f"{what} moved: now {to}{came}" if what else f"Moved: now {to}{came}"
    because = f" ({m.because})" if m.because else ""
    learnt = _learnt(m.at, m.written_at)
    return Event(m.at, f"{sentence}{because}.", "move", reads.who_moved(m), m.href, learnt)


def _carried(reader: Actor, what: Subject) -> list[Event]:
    """Movements of the containers it stood in while it stood in them."""
    return [
        Event(
            at=m.at,
            sentence=f"Went with {m.container.code}, which is now {reads.where_words_long(m.to_place)}.",
            kind="move",
            who=reads.who_moved(m),
            href=m.href,
            learnt_at=_learnt(m.at, m.written_at),
        )
        for m in reads.moves_with_it(reader, what, most=_MOST)
    ]


def _hands(cast: Cast) -> list[Event]:
    return [
        Event(
            at=line.at,
            sentence=_hand(line),
            kind="loan",
            who=str(line.by or (line.written_by.person if line.written_by else "")),
            learnt_at=_learnt(line.at, line.written_at),
        )
        for line in reads.custody_of(cast)
    ]


def _hand(line: Custody) -> str:
    holder = "We have it" if line.ours else f"{line.holder or line.holder_words or 'Somebody'} has it"
    came = f", from {line.from_words}" if line.from_words else ""
    because = f": {line.because}" if line.because else ""
    return f"{holder}{came}{because}."
