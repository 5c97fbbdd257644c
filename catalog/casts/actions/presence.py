"""Whether a body is there and whole: missing and found again, broken with its parts not known yet, and put back as it was."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from catalog.casts.actions.joins import hold_join
from catalog.casts.actions.pieces import add_pieces, hold_piece, hold_subject, suffixes_of
from catalog.casts.actions.weighing import set_mass
from catalog.casts.models import CrumbLot, Join, Piece
from catalog.casts.rules import pieces as rules
from catalog.casts.subject import Subject, piece_broke, what_hinders
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import Actor


@action("incident.report")
def set_missing(actor: Actor, piece: Piece, since: date | None) -> Piece:
    """A piece is looked for since that day; None: it is here again."""
    held = hold_piece(piece.pk)
    held.missing_since = since
    return store(held)


@action("breakage.record")
def break_into_unknown(actor: Actor, subject: Subject) -> Subject:
    """It is no longer whole, and nobody can tell yet which fragments are its: they wait elsewhere until they are placed."""
    held = hold_subject(subject)
    if held.piece is None:
        raise Refusal(Reason(f"{held} is one body. Say into how many parts it broke.", "parts"))
    refuse_if(what_hinders(held, "break"))
    held.piece.present = False
    tell(str(held), broke=[])
    return Subject(held.cast, store(held.piece))


@action("breakage.record")
def place_fragments(actor: Actor, subject: Subject, parts: Sequence[Mapping[str, Any]]) -> list[Piece]:
    """Fragments turn out to be of this broken body: they are its parts from now on, with the next numbers below it."""
    held = hold_subject(subject)
    parent = held.piece
    if parent is None or parent.present:
        raise Refusal(Reason(f"{held} is not broken. Name the piece that they broke from.", "of", said=str(held)))
    first = rules.number_of_next(suffixes_of(held.cast), parent.suffix)
    same = ("lift", "lift_unknown", "from_cm", "to_cm", "shaft", "compass", "kind")
    rows = [
        {n: getattr(parent, n) for n in same}
        | dict(part)
        | {"parent": parent, "suffix": f"{parent.suffix}.{first + i}"}
        for i, part in enumerate(parts)
    ]
    made = add_pieces(actor, held.cast, rows)
    piece_broke(parent, made)
    return made


@action("breakage.take_back")
def whole_again(actor: Actor, subject: Subject) -> Subject:
    """A body that was written as broken, without parts of its own, is whole."""
    held = hold_subject(subject)
    if held.piece and not held.piece.children.exists():
        held.piece.present = True
        store(held.piece)
    return held


@action("breakage.take_back")
def undo_damage(
    actor: Actor,
    subject: Subject,
    *,
    mass_g: Decimal | None,
    u_g: Decimal | None,
    state: str,
    crumbs: CrumbLot | None,
    why: str,
) -> None:
    """The damage was recorded wrongly: its mass is again what it was, and the lot of crumbs is empty."""
    set_mass(actor, subject, mass_g, u_g=u_g, state=state)
    if crumbs:
        lot = locked(CrumbLot, pk=crumbs.pk)
        lot.mass_g, lot.mass_u_g, lot.n, lot.note = None, None, None, why[:300]
        store(lot)


@action("breakage.take_back")
def holds_again(actor: Actor, join: Join, state: str) -> Join:
    """A join that was written as failed holds as it did before."""
    held = hold_join(join.pk)
    if held.state == rules.FAILED:
        held.state = state
    return store(held)
