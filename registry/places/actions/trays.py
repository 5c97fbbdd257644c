"""Pieces are listed in a tray, row by row: each row is one short act, and the same row again is the same piece."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.utils import timezone

from catalog.casts.actions import add_face, add_pieces, describe_piece, hold_cast, keep_crumbs
from catalog.casts.models import MASS_STATES, BreakFace, Cast, CrumbLot, Piece
from catalog.casts.subject import Subject
from catalog.excavations.models import Lift
from catalog.ground.acting import action, locked, store, store_many, tell
from catalog.ground.ids import uuid7
from catalog.ground.refusal import Hindered, Reason, Refusal, Stale, refuse_if
from catalog.ground.roles import Actor
from catalog.measurements.actions import weigh, weigh_crumbs
from catalog.measurements.models import Instrument
from catalog.measurements.reads import newest_of
from catalog.people.models import Person
from registry.places import reads
from registry.places.asks import what_hinders_putting
from registry.places.models import Movement, Place, Placement, TrayList, TrayRow
from registry.places.tray_rows import RowSaid


@dataclass(frozen=True)
class Weighed:
    """With which balance a row was weighed, the balance's own name of the reading, when, by whom. Empty: typed, now."""

    instrument: Instrument | None = None
    key: str = ""
    at: datetime | None = None
    by: Person | None = None


@action("tray.enter")
def begin_tray(
    actor: Actor,
    tray: Place,
    cast: Cast,
    *,
    lift: Lift | None = None,
    shaft: str = "",
    state: str = "wet",
) -> TrayList:
    """Opens a tray for the pieces of a cast, known by whatever number it has now. `lift`, `shaft`: what all of them came from."""
    place, held = locked(Place, pk=tray.pk), hold_cast(cast.pk)
    if not place.movable or place.closed_on:
        raise Refusal(Reason(f"{place.code} is no tray that is in use. Choose a tray.", "tray", said=place.code))
    if lift and lift.excavation_id != held.excavation_id:
        raise Refusal(Reason(f"That lift is not of the excavation of {held}.", "lift", said=str(lift)))
    if state not in ("", *dict(MASS_STATES)):
        raise Refusal(Reason("Say wet, air dry or constant.", "state", said=state))
    if held.closed_as:
        raise Hindered(Reason(f"{held} is no longer in our care: {held.closed_as}.", "cast", held.href))
    refuse_if(what_hinders_putting(place))
    facts = {"lift": lift, "shaft": shaft[:40], "state": state, "begun_by": reads.me(actor)}
    return store(TrayList(tray=place, cast=held, **facts))


@action("tray.enter")
def change_tray(actor: Actor, pk: int, *, state: str | None = None, closed: bool | None = None) -> TrayList:
    """In which state what comes next is weighed; whether the tray is done."""
    held = locked(TrayList, pk=pk)
    if state is not None and state in ("", *dict(MASS_STATES)):
        held.state = state
    if closed is not None:
        held.closed_at = timezone.now() if closed else None
    return store(held)


def _open(pk: int) -> TrayList:
    """The tray, its cast held first: whoever lists pieces of a cast waits here."""
    cast_pk = TrayList.objects.filter(pk=pk).values_list("cast_id", flat=True).first()
    cast = hold_cast(cast_pk or 0)
    held = locked(TrayList, pk=pk)
    held.cast = cast
    if held.closed_at:
        raise Hindered(Reason("This tray is closed. Open it again to go on.", "tray", held.href))
    return held


@action("tray.enter")
def save_row(
    actor: Actor,
    pk: int,
    row: UUID,
    said: RowSaid,
    *,
    weighed: Weighed | None = None,
    expected_version: int | None = None,
) -> TrayRow:
    """Keeps one row. New: a piece with the number that was typed, else the next; there already: what was changed of it.

    `expected_version` is that of the piece as it was seen; Stale where somebody changed it since.
    """
    held = _open(pk)
    there = TrayRow.objects.select_related("piece").filter(tray_list=held, row=row).first()
    how = weighed or Weighed()
    if there is None:
        kept = _new_row(actor, held, row, said, how)
    else:
        kept = _changed_row(actor, held, there, said, expected_version)
    _faces(actor, kept.piece, said.faces)
    _mass(actor, held, kept.piece, said, how)
    kept.piece.refresh_from_db()
    kept.piece.cast = held.cast
    tell(kept.piece.number, tray=held.tray.code)
    return kept


def _described(held: TrayList, said: RowSaid) -> dict[str, Any]:
    lift = None if said.lift_unknown else held.lift
    return {
        "kind": said.kind,
        "from_cm": said.from_cm,
        "to_cm": said.to_cm,
        "largest_mm": said.largest_mm,
        "up_mark": said.up_mark,
        "compass": said.side,
        "lift": lift,
        "lift_unknown": said.lift_unknown,
        "note": said.note,
    }


def _new_row(actor: Actor, held: TrayList, row: UUID, said: RowSaid, how: Weighed) -> TrayRow:
    if said.number:
        _refuse_taken(held, said.number)
    shaft = "" if said.lift_unknown else held.shaft
    facts = _described(held, said) | {"suffix": said.number, "shaft": shaft}
    piece = add_pieces(actor, held.cast, [facts])[0]
    piece.cast = held.cast
    put_in_tray(held, [piece], how.by or reads.me(actor), how.at)
    return store(TrayRow(tray_list=held, row=row, piece=piece, by=how.by or reads.me(actor)))


def _refuse_taken(held: TrayList, suffix: str) -> None:
    there = Piece.objects.filter(cast=held.cast, suffix=suffix).first()
    if there is not None:
        there.cast = held.cast
        sentence = f"{there.number} is listed already. Leave the number empty for the next one, or open that piece."
        raise Hindered(Reason(sentence, "number", there.href, suffix))


def _changed_row(actor: Actor, held: TrayList, there: TrayRow, said: RowSaid, expected_version: int | None) -> TrayRow:
    there.piece = piece = locked(Piece, pk=there.piece_id)
    there.tray_list, piece.cast = held, held.cast
    if expected_version is not None and piece.version != expected_version:
        raise Stale(f"Somebody changed {piece.number} before you. Open the tray again to see both.", now=there)
    if said.number and said.number != piece.suffix:
        sentence = f"This row is piece {piece.number}; its number stays. Write another piece in a row of its own."
        raise Refusal(Reason(sentence, "number", piece.href, said.number))
    if not piece.present:
        raise Hindered(Reason(f"{piece.number} is no longer there as it was. Open it.", "number", piece.href))
    there.piece = describe_piece(actor, piece.pk, _described(held, said))
    return there


def put_in_tray(held: TrayList, pieces: Sequence[Piece], by: Person | None, at: datetime | None) -> None:
    """What was never anywhere by itself lies in the tray from now on: a movement and a placement each."""
    when = at or timezone.now()
    facts = {"to_place": held.tray, "at": when, "by": by, "because": "listed in this tray"}
    moves = store_many([Movement(cast=held.cast, piece=p, **facts) for p in pieces])
    pairs = zip(pieces, moves, strict=True)
    store_many([Placement(cast=held.cast, piece=p, place=held.tray, since=when, movement=moved) for p, moved in pairs])


def _faces(actor: Actor, piece: Piece, n: int | None) -> None:
    """As many break faces as were counted; one that is on record stays."""
    if n is None:
        return
    there = BreakFace.objects.filter(piece=piece, divided=False).count()
    if n < there:
        sentence = f"{piece.number} has {there} faces on record, and they stay. Say on its page what is wrong with one."
        raise Refusal(Reason(sentence, "faces", piece.href, str(n)))
    for _ in range(n - there):
        add_face(actor, piece)


def _mass(actor: Actor, held: TrayList, piece: Piece, said: RowSaid, how: Weighed) -> None:
    """A mass that differs is a weighing; one that corrects what was typed in this tray replaces it."""
    subject = Subject(held.cast, piece)
    before = newest_of(subject)
    if said.mass_g is None:
        if before is not None:
            raise Refusal(Reason("What was weighed stays. Weigh it again, and the new value stands.", "mass_g"))
        return
    if before and (before.value, before.state) == (said.mass_g, held.state):
        return
    slip = before if before and before.state == held.state and before.written_at >= held.created_at else None
    extra: dict[str, Any] = {
        "instrument": how.instrument,
        "key": how.key,
        "at": how.at,
        "by": how.by or reads.me(actor),
    }
    weigh(actor, subject, said.mass_g, u_g=said.mass_u_g, state=held.state, replaces=slip, **extra)


@action("tray.enter")
def save_rows(actor: Actor, pk: int, rows: Iterable[RowSaid], *, by: Person | None = None) -> list[TrayRow]:
    """Many rows at once, from a form without script or a spreadsheet: all or none."""
    kept = []
    for n, said in enumerate(rows):
        try:
            kept.append(save_row(actor, pk, uuid7(), said, weighed=Weighed(by=by)))
        except Refusal as refusal:
            named = [Reason(r.sentence, f"{n}/{r.field}", r.remedy, r.said) for r in refusal.reasons]
            raise type(refusal)(*named) from refusal
    return kept


@action("tray.enter")
def keep_tray_crumbs(
    actor: Actor, pk: int, mass_g: Decimal | None, *, n: int | None = None, weighed: Weighed | None = None
) -> CrumbLot:
    """The crumbs of a tray are one lot, counted and weighed; weighing it again is a new value."""
    held, how = _open(pk), weighed or Weighed()
    if mass_g is None and n is None:
        raise Refusal(Reason("Write what the crumbs weigh, or how many there are.", "mass_g"))
    lot = held.crumbs
    if lot is None:
        note = f"crumbs of tray {held.tray.code}"
        lot = keep_crumbs(actor, Subject(held.cast), mass_g=mass_g, n=n, lift=held.lift, state=held.state, note=note)
        held.crumbs = lot
        store(held)
    if mass_g is None:
        lot = locked(CrumbLot, pk=lot.pk)
        lot.n = n or lot.n
        return store(lot)
    extra: dict[str, Any] = {
        "instrument": how.instrument,
        "key": how.key,
        "at": how.at,
        "by": how.by or reads.me(actor),
    }
    weigh_crumbs(actor, lot, mass_g, n=n, state=held.state, **extra)
    lot.refresh_from_db()
    return lot


@action("tray.enter")
def settle_doubt(actor: Actor, row_pk: int) -> TrayRow:
    """Somebody looked: the mass is right as it is."""
    row = locked(TrayRow, pk=row_pk)
    row.settled, row.settled_by = True, reads.me(actor)
    return store(row)


@action("tray.enter")
def take_into_tray(actor: Actor, pk: int, pieces: Sequence[Piece]) -> list[TrayRow]:
    """Pieces that are listed already, and lie nowhere by themselves yet, go into this tray."""
    held = _open(pk)
    placed = set(Placement.objects.filter(piece__in=pieces).values_list("piece_id", flat=True))
    wrong = [p for p in pieces if p.cast_id != held.cast_id or not p.present or p.pk in placed]
    if wrong:
        raise Refusal(Reason(f"Piece {wrong[0].suffix} is not one to be put into this tray.", "pieces"))
    put_in_tray(held, pieces, reads.me(actor), None)
    return store_many([TrayRow(tray_list=held, row=uuid7(), piece=p, by=reads.me(actor)) for p in pieces])
