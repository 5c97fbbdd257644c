"""Break faces are seen, measured and divided."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from catalog.casts.actions.pieces import hold_piece, refuse_gone
from catalog.casts.models import BreakFace, Join, Piece
from catalog.casts.reads.refitting import standing_join_of
from catalog.casts.rules import pieces as rules
from catalog.ground.acting import action, locked, store
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor

MEASURED = ("length_mm", "width_mm", "side", "natural_end", "note")


def _letters(piece: Piece) -> list[str]:
    return list(piece.faces.values_list("letter", flat=True))


def hold_face(pk: int, expected_version: int | None = None) -> BreakFace:
    """The face with its piece and cast, locked until the act ends."""
    piece_pk = BreakFace.objects.filter(pk=pk).values_list("piece_id", flat=True).first()
    piece = hold_piece(piece_pk or 0)
    face = locked(BreakFace, expected_version, pk=pk)
    face.piece = piece
    return face


@action("piece.write")
def add_face(actor: Actor, piece: Piece, *, letter: str = "", **measured: Any) -> BreakFace:
    """A break face (or a natural end) of a piece; without a letter it takes the next free one."""
    held = hold_piece(piece.pk)
    refuse_gone(held)
    there = _letters(held)
    chosen = letter or rules.next_letter(there)
    refuse_if(rules.hinders_letter(chosen, there) + rules.hinders_face(measured, known=MEASURED), Refusal)
    return store(BreakFace(piece=held, first_on=held, letter=chosen, **measured))


@action("piece.write")
def measure_face(
    actor: Actor, pk: int, measured: Mapping[str, Any], *, expected_version: int | None = None
) -> BreakFace:
    """Its size, which way it looks, whether it is a natural end after all."""
    face = hold_face(pk, expected_version)
    refuse_if(rules.hinders_face(measured, known=MEASURED), Refusal)
    tied = standing_join_of(face) is not None
    refuse_if(rules.hinders_natural_end(bool(measured.get("natural_end")), joined=tied, divided=face.divided))
    for name, value in measured.items():
        setattr(face, name, value)
    return store(face)


@action("piece.write")
def divide_face(actor: Actor, pk: int, n: int = 2) -> list[BreakFace]:
    """`a` becomes `a1`, `a2` …: each part can be joined by itself. A standing join of the whole goes on with the first part."""
    face = hold_face(pk)
    refuse_gone(face.piece)
    refuse_if(rules.hinders_dividing(n, natural_end=face.natural_end, divided=face.divided))
    there, head = _letters(face.piece), face.letter
    names = rules.part_letters(head, n, there)
    tied = standing_join_of(face)
    face.divided = True
    store(face)
    parts = [
        store(BreakFace(piece=face.piece, first_on=face.piece, letter=name, side=face.side, part_of=face))
        for name in names
    ]
    if tied:
        _carry_on(tied, face, parts[0])
    return parts


def _carry_on(join: Join, whole: BreakFace, part: BreakFace) -> None:
    held = locked(Join, pk=join.pk)
    if held.face_a_id == whole.pk:
        held.face_a = part
    else:
        held.face_b = part
    store(held)


@action("piece.write")
def place_face(actor: Actor, pk: int, child: Piece) -> BreakFace:
    """Somebody found out which part of a broken piece carries a face that had stayed behind; its join goes along."""
    face, held = hold_face(pk), hold_piece(child.pk)
    refuse_gone(held)
    below = held.cast_id == face.piece.cast_id and held.suffix.startswith(f"{face.piece.suffix}.")
    refuse_if(rules.hinders_placing(face.number, held.number, below=below, taken=face.letter in _letters(held)))
    tied = standing_join_of(face)
    if tied and held.pk in (tied.face_a.piece_id, tied.face_b.piece_id):
        raise Hindered(Reason("The face it is joined to is on that part itself.", "piece"))
    face.piece = held
    return store(face)
