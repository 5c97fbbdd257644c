"""Daily corrections: a crumb becomes a piece, a piece is none, one number was on two, a piece is of another cast."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from catalog.casts.actions.casts import hold_cast
from catalog.casts.actions.pieces import hold_piece, refuse_gone, suffixes_of
from catalog.casts.models import BreakFace, Cast, CrumbLot, Piece
from catalog.casts.numbers import sort_text
from catalog.casts.reads.refitting import joins_of_faces
from catalog.casts.rules import pieces as rules
from catalog.casts.subject import Subject, piece_became, what_hinders
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor


def _new_piece(cast: Cast, parent: Piece | None, **facts: Any) -> Piece:
    """A piece under the next free number of its cast, or below what it broke from."""
    head = parent.suffix if parent else ""
    n = rules.number_of_next(suffixes_of(cast), head)
    suffix = f"{head}.{n}" if head else str(n)
    return Piece(cast=cast, parent=parent, suffix=suffix, sort=sort_text(suffix), **facts)


@action("piece.write")
def crumb_to_piece(
    actor: Actor,
    lot: CrumbLot,
    *,
    mass_g: Decimal | None = None,
    u_g: Decimal | None = None,
    state: str = "",
    kind: str = "",
    note: str = "",
) -> Piece:
    """One crumb gets a number of its own; the lot counts one less and weighs as much less."""
    cast = hold_cast(lot.cast_id)
    held = locked(CrumbLot, pk=lot.pk)
    refuse_if(rules.hinders_crumb(held.n, held.mass_g, mass_g), Refusal)
    # crumbs of a piece that is still one body are no children of it: it did not break
    parent = held.piece if held.piece and not held.piece.present else None
    facts = {"mass_g": mass_g, "mass_u_g": u_g, "mass_state": state or (held.mass_state if mass_g is not None else "")}
    made = store(_new_piece(cast, parent, kind=kind, note=note, lift=held.lift, **facts))
    held.n = held.n - 1 if held.n else held.n
    if held.mass_g is not None and mass_g is not None:
        held.mass_g -= mass_g
    store(held)
    tell(made.number, out_of=str(held))
    return made


def _refuse_joined(piece: Piece) -> None:
    faces = BreakFace.objects.filter(piece=piece)
    tied = joins_of_faces(faces).filter(state__in=rules.STANDING).first()
    if tied:
        sentence = f"{tied.face_a.number} is joined to {tied.face_b.number}. Undo that join first."
        raise Hindered(Reason(sentence, remedy=f"{piece.cast.href}refitting/"))


@action("piece.write")
def strike_off(actor: Actor, pk: int, why: str, *, expected_version: int | None = None) -> Piece:
    """It is a stone or soil, not a piece after all: its number stays, and is never given again."""
    piece = hold_piece(pk, expected_version)
    refuse_gone(piece)
    refuse_if(rules.hinders_striking(why), Refusal)
    _refuse_joined(piece)
    piece.present, piece.struck_off = False, why.strip()
    return store(piece)


@action("piece.write")
def put_back(actor: Actor, pk: int, *, expected_version: int | None = None) -> Piece:
    """It was a piece after all: what was struck off by mistake is there again."""
    piece = hold_piece(pk, expected_version)
    if not piece.struck_off or piece.became_id or piece.struck_off == rules.TAKEN_BACK:
        raise Hindered(f"{piece.number} is not struck off as stone or soil: there is nothing to put back.")
    if piece.parent and piece.parent.present:
        raise Hindered(f"{piece.parent.number} is whole: its parts are no pieces.")
    piece.present, piece.struck_off = True, ""
    return store(piece)


@action("piece.write")
def part_number(
    actor: Actor,
    pk: int,
    *,
    mass_g: Decimal | None = None,
    u_g: Decimal | None = None,
    state: str = "",
    kind: str = "",
    note: str = "",
) -> Piece:
    """One number was put on two pieces: the second gets the next one; its old label leads to the first, which names it."""
    first = hold_piece(pk)
    refuse_gone(first)
    refuse_if(rules.hinders_mass(mass_g), Refusal)
    facts = {"mass_g": mass_g, "mass_u_g": u_g, "mass_state": state, "kind": kind, "note": note}
    where = {"lift": first.lift, "lift_unknown": first.lift_unknown, "from_cm": first.from_cm, "to_cm": first.to_cm}
    second = store(_new_piece(first.cast, first.parent, parted_from=first, shaft=first.shaft, **facts, **where))
    tell(second.number, parted_from=first.number)
    return second


@action("piece.write")
def give_to_cast(actor: Actor, pk: int, to: Cast, *, expected_version: int | None = None) -> Piece:
    """A piece is found to be of another cast: it goes by the next number there; the old number leads on for ever."""
    for cast_pk in sorted({to.pk, Piece.objects.values_list("cast_id", flat=True).get(pk=pk)}):
        hold_cast(cast_pk)  # always in the order of the keys, so that two who write never wait crosswise
    piece = hold_piece(pk, expected_version)
    refuse_gone(piece)
    if piece.cast_id == to.pk:
        raise Refusal(Reason(f"{piece.number} is of {to.number} already. Name another cast.", "to", said=to.number))
    if to.closed_as:
        raise Hindered(Reason(f"{to.number} is no longer in our care: {to.closed_as}.", "to", said=to.number))
    refuse_if(what_hinders(Subject(piece.cast, piece), "renumber"))
    _refuse_joined(piece)
    kept = ("kind", "mass_g", "mass_u_g", "mass_state", "largest_mm", "up_mark", "compass", "note", "missing_since")
    new = store(_new_piece(to, None, **{name: getattr(piece, name) for name in kept}))
    for face in BreakFace.objects.filter(piece=piece):
        measured = {n: getattr(face, n) for n in ("letter", "length_mm", "width_mm", "side", "natural_end", "divided")}
        store(BreakFace(piece=new, first_on=new, note=face.note, **measured))
    piece.present, piece.became = False, new
    store(piece)
    tell(new.number, was=piece.number, follows=piece_became(piece, new))
    return new
