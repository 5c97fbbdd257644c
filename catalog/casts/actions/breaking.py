"""A body breaks into pieces, loses something, or is put back as it was when the breakage was recorded wrongly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from catalog.casts.actions.carrying import carry_faces, new_pairs, put_back_faces
from catalog.casts.actions.pieces import hold_subject, suffixes_of
from catalog.casts.actions.weighing import set_mass
from catalog.casts.mass_balance import Balance, Weighed, balance
from catalog.casts.models import Cast, CrumbLot, Piece
from catalog.casts.numbers import sort_text
from catalog.casts.rules import pieces as rules
from catalog.casts.subject import Subject, built_on, piece_broke, what_hinders
from catalog.ground import say
from catalog.ground.acting import action, store, store_many, tell
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor


@dataclass(frozen=True)
class Part:
    """One thing that came of a breakage. `mass_g` None: not weighed yet. Without a state it takes the parent's, unless wet."""

    mass_g: Decimal | None
    mass_u_g: Decimal | None = None
    mass_state: str = ""
    kind: str = ""
    note: str = ""

    def weighed(self, state: str = "") -> Weighed | None:
        return None if self.mass_g is None else Weighed(self.mass_g, self.mass_u_g, self.mass_state or state)


@dataclass(frozen=True)
class Broken:
    """What came of it: `children` in the order of the parts, and what follows in sentences."""

    subject: Subject
    children: list[Piece]
    crumbs: CrumbLot | None
    balance: Balance
    consequences: list[str] = field(default_factory=list)


@action("breakage.record")
def break_piece(
    actor: Actor,
    subject: Subject,
    parts: Sequence[Part],
    *,
    crumbs: Part | None = None,
    n_crumbs: int | None = None,
    lost_g: Decimal | None = None,
    faces_to: Mapping[str, int] | None = None,
    fits: Sequence[tuple[int, int]] = (),
) -> Broken:
    """The body is no longer present; its parts are, numbered below it (a cast without pieces breaks into 1, 2 …).

    `faces_to`: letter of a face of the parent -> place in `parts` of the child that carries it; a face not named stays
    where it was until somebody says, and its join is left out of the sections. `fits`: places of children that fit.
    """
    held = hold_subject(subject)
    _refuse_whole(held)
    before, state = _before(held), _dry_state(held)
    weighed = [p.weighed(state) for p in parts]
    refuse_if(
        rules.hinders_parts(weighed, parent=before, lost_g=lost_g)
        + rules.hinders_pairs(fits, len(parts))
        + _wrong_crumbs(crumbs, n_crumbs),
        Refusal,
    )
    children = _children(held, parts, state)
    lot = _crumbs(held, crumbs, n_crumbs, state)
    sums = balance(before, [*weighed, *([crumbs.weighed(state)] if crumbs else [])], lost_g=lost_g)
    if held.piece:
        held.piece.present = False
        store(held.piece)
    said = carry_faces(held.piece, children, faces_to or {}) + new_pairs(children, fits)
    said += piece_broke(held.piece, children)
    tell(str(held), broke=[c.number for c in children])
    return Broken(held, children, lot, sums, said)


def _refuse_whole(held: Subject) -> None:
    """Only a body that is there, and is one body, breaks."""
    refuse_if(what_hinders(held, "break"))
    if held.piece is None and Piece.objects.filter(cast=held.cast, present=True).exists():
        raise Hindered(Reason(f"{held.cast.number} is in pieces. Name the piece that broke.", "of"))
    if held.piece is None and Piece.objects.filter(cast=held.cast, struck_off="", became__isnull=True).exists():
        raise Hindered(Reason(f"{held.cast.number} broke already. Name the piece that broke.", "of"))


def _before(held: Subject) -> Weighed | None:
    body: Cast | Piece = held.piece or held.cast
    return None if body.mass_g is None else Weighed(body.mass_g, body.mass_u_g, body.mass_state)


def _dry_state(held: Subject) -> str:
    state = (held.piece or held.cast).mass_state
    return "" if state == "wet" else state


def _wrong_crumbs(crumbs: Part | None, n: int | None) -> list[Reason]:
    if crumbs is None and n is None:
        return []
    found = rules.hinders_crumbs(crumbs.mass_g if crumbs else None, n)
    return [
        Reason(r.sentence, {"mass_g": "crumbs_g", "n": "n_crumbs"}.get(r.field, r.field), said=r.said) for r in found
    ]


def _children(held: Subject, parts: Sequence[Part], state: str) -> list[Piece]:
    """The children's rows: what the parent was dug as, each with its own mass."""
    head, parent = (held.piece.suffix if held.piece else ""), held.piece
    first = rules.number_of_next(suffixes_of(held.cast), head)
    made = []
    for n, part in enumerate(parts, first):
        suffix = f"{head}.{n}" if head else str(n)
        child = Piece(cast=held.cast, parent=parent, suffix=suffix, sort=sort_text(suffix), note=part.note)
        if parent:
            child.lift, child.lift_unknown = parent.lift, parent.lift_unknown
            child.from_cm, child.to_cm = parent.from_cm, parent.to_cm
            child.shaft, child.compass = parent.shaft, parent.compass
        child.kind = part.kind or (parent.kind if parent else "")
        child.mass_g, child.mass_u_g = part.mass_g, part.mass_u_g
        child.mass_state = (part.mass_state or state) if part.mass_g is not None else ""
        made.append(child)
    return store_many(made)


def _crumbs(held: Subject, crumbs: Part | None, n: int | None, state: str) -> CrumbLot | None:
    if crumbs is None and n is None:
        return None
    lot = CrumbLot(cast=held.cast, piece=held.piece, n=n)
    if crumbs:
        lot.mass_g, lot.mass_u_g, lot.note = crumbs.mass_g, crumbs.mass_u_g, crumbs.note[:300]
        lot.mass_state = (crumbs.mass_state or state) if crumbs.mass_g is not None else ""
    return store(lot)


@action("breakage.record")
def damage_body(
    actor: Actor,
    subject: Subject,
    *,
    mass_after: Part | None = None,
    crumbs: Part | None = None,
    n_crumbs: int | None = None,
    lost_g: Decimal | None = None,
) -> Broken:
    """One body is left (a chip, a corner lost): the same number, a new mass, crumbs and loss beside it."""
    held = hold_subject(subject)
    _refuse_whole(held)
    before, state = _before(held), _dry_state(held)
    after = mass_after.weighed(state) if mass_after else None
    rest = [after] if mass_after else [None]
    wrong = rules.hinders_parts(rest, parent=before, lost_g=lost_g, least=1) + _wrong_crumbs(crumbs, n_crumbs)
    refuse_if(
        [Reason(r.sentence, r.field.replace("parts/0/mass_g", "mass_after_g"), said=r.said) for r in wrong], Refusal
    )
    sums = balance(before, [*rest, *([crumbs.weighed(state)] if crumbs else [])], lost_g=lost_g)
    if after:
        held = set_mass(actor, held, after.mass_g, u_g=after.u_g, state=after.state)
    lot = _crumbs(held, crumbs, n_crumbs, state)
    tell(str(held), damaged=True)
    return Broken(held, [], lot, sums, [])


@action("breakage.take_back")
def take_back_breaking(actor: Actor, subject: Subject) -> Subject:
    """The body is whole again as before; the numbers that its parts had are struck off and lead here. Refused once built on."""
    held = hold_subject(subject)
    rows = Piece.objects.select_related("cast").filter(cast=held.cast, parent=held.piece, struck_off="")
    children = list(rows.order_by("sort"))
    if not children or (held.piece and held.piece.present):
        raise Hindered(f"{held} is not broken: there is nothing to take back.")
    refuse_if([Reason(s) for s in _built(children)])
    put_back_faces(held.piece, children)
    for child in children:
        child.present, child.struck_off = False, rules.TAKEN_BACK
        store(child)
    of_it = CrumbLot.objects.filter(cast=held.cast, piece=held.piece, created_at__gte=children[0].created_at)
    for lot in of_it:
        lot.mass_g, lot.mass_u_g, lot.n, lot.note = None, None, None, rules.TAKEN_BACK
        store(lot)
    if held.piece:
        held.piece.present = True
        store(held.piece)
    tell(str(held), whole_again=True)
    return held


def _built(children: list[Piece]) -> list[str]:
    gone = [c.number for c in children if not c.present]
    broke = f"{say.listed(gone)} {'is' if len(gone) == 1 else 'are'} no longer whole: that came later." if gone else ""
    return ([broke] if broke else []) + built_on(children)
