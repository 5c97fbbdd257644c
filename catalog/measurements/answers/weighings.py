"""Weighings on the pages of casts and pieces, and in their past; which instrument bears a number."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Subject, built_on, panels, piece_broke, piece_panels
from catalog.ground import say
from catalog.ground.asks import Bearer, Event, Panel, bearer_of, history_of
from catalog.ground.roles import Actor
from catalog.measurements import reads
from catalog.measurements.models import Instrument, Measurement

_SHOWN = 6


@panels.answer
def weighings_of_cast(reader: Actor, cast: Cast) -> list[Panel]:
    return _panel(reader, Subject(cast))


@piece_panels.answer
def weighings_of_piece(reader: Actor, piece: Piece) -> list[Panel]:
    return _panel(reader, Subject(piece.cast, piece))


def _panel(reader: Actor, subject: Subject) -> list[Panel]:
    """Its weighings and how it dries; on a cast without one only the way to the balance, where it is one body."""
    rows = list(reads.weighings_of(reader, subject)[: _SHOWN + 1])
    if not rows and subject.piece is None:
        return []
    facts = {"rows": rows[:_SHOWN], "subject": subject, "drying": reads.drying_of(rows) if rows else None}
    return [Panel("how much", "measurements/panel.html", facts, 40)]


@history_of.answer
def was_weighed(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, (Cast, Piece)):
        return []
    subject = Subject(record) if isinstance(record, Cast) else Subject(record.cast, record)
    return [_event(m) for m in reads.weighings_of(reader, subject)[:30]]


def _event(m: Measurement) -> Event:
    on = f" on {m.instrument}" if m.instrument else ""
    state = f", {m.state}" if m.state else ""
    replaced = ". A later weighing replaces it" if getattr(m, "replaced_by", None) else ""
    sentence = f"Weighed{on}: {say.mass(m.value)}{state}{replaced}."
    return Event(at=m.at, sentence=sentence, kind="exam", who=str(m.by or ""), learnt_at=m.written_at)


@bearer_of.answer
def instrument_called(reader: Actor, number: str) -> list[Bearer]:
    found = reads.instruments(reader).filter(code__iexact=number.strip()).first()
    return [_bearer(found)] if found else []


def _bearer(i: Instrument) -> Bearer:
    return Bearer("instrument", i.code, i.what or i.get_kind_display(), i.href, i.pk)


@built_on.answer
def was_weighed_since(pieces: list[Piece]) -> list[str]:
    """A breakage is not taken back over weighings of its parts on a named balance."""
    rows = Measurement.objects.filter(piece__in=pieces, instrument__isnull=False).select_related("piece__cast")
    return [f"{m.piece} was weighed on {m.instrument}." for m in rows.order_by("at")[:3]]


@piece_broke.answer
def weighings_stay(parent: Piece | None, children: list[Piece]) -> list[str]:
    """What was measured of a body stays with it, and no longer holds of what is there."""
    if parent is None:
        return []
    n = Measurement.objects.filter(piece=parent).count()
    kept = say.capital(say.plural(n, "measurement"))
    return [f"{kept} of {parent} {'stays' if n == 1 else 'stay'} with it; its parts are measured anew."] if n else []
