"""Faces go on to the child that carries them, and come back when a breakage is taken back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from catalog.casts.models import BreakFace, Join, Piece
from catalog.casts.reads.refitting import joins_of_faces
from catalog.casts.rules import pieces as rules
from catalog.ground.acting import store
from catalog.ground.collection import today
from catalog.ground.refusal import Reason, Refusal, refuse_if


def carry_faces(parent: Piece | None, children: Sequence[Piece], faces_to: Mapping[str, int]) -> list[str]:
    """Each face named goes to its child with its joins; what stays behind is told. The parent's faces are held already."""
    there = {f.letter: f for f in BreakFace.objects.filter(piece=parent)} if parent else {}
    wrong = [Reason(f"It had no face {letter}.", "faces_to", said=letter) for letter in faces_to if letter not in there]
    wrong += [
        Reason(f"There is no part {n + 1}.", "faces_to", said=str(n + 1))
        for n in faces_to.values()
        if not 0 <= n < len(children)
    ]
    refuse_if(wrong, Refusal)
    for letter, n in faces_to.items():
        there[letter].piece = children[n]
        store(there[letter])
    left = [f for letter, f in there.items() if letter not in faces_to and not f.divided]
    return _told(list(there.values()), faces_to, children, left)


def _told(
    faces: list[BreakFace], faces_to: Mapping[str, int], children: Sequence[Piece], left: list[BreakFace]
) -> list[str]:
    said, standing = [], {pk: j for j in _standing(faces) for pk in (j.face_a_id, j.face_b_id)}
    for face in faces:
        join = standing.get(face.pk)
        if join is None or face.letter not in faces_to:
            continue
        other = join.face_b if join.face_a_id == face.pk else join.face_a
        said.append(f"The join with {other.number} is carried by {children[faces_to[face.letter]].number} now.")
    for face in left:
        if join := standing.get(face.pk):
            other = join.face_b if join.face_a_id == face.pk else join.face_a
            said.append(f"Which part carries face {face.letter}, joined to {other.number}, is not known yet.")
    return said


def _standing(faces: Sequence[BreakFace]) -> list[Join]:
    return list(joins_of_faces(faces).filter(state__in=rules.STANDING))


def new_pairs(children: Sequence[Piece], fits: Sequence[tuple[int, int]]) -> list[str]:
    """New faces in pairs that are known to fit, each pair a dry fit that came of the breakage."""
    said = []
    for a, b in fits:
        one, other = _new_face(children[a]), _new_face(children[b])
        join = Join(cast=children[a].cast, face_a=one, face_b=other, state=rules.DRY, on=today(), from_breakage=True)
        store(join)
        said.append(f"{one.number} fits {other.number}: they broke apart.")
    return said


def _new_face(child: Piece) -> BreakFace:
    """A letter that neither the child bears nor any face of its parent bore: old addresses stay unmistakable."""
    beside = BreakFace.objects.filter(piece__in=[child, child.parent] if child.parent else [child])
    near = BreakFace.objects.filter(first_on=child.parent) if child.parent else BreakFace.objects.none()
    letters = {*beside.values_list("letter", flat=True), *near.values_list("letter", flat=True)}
    return store(BreakFace(piece=child, first_on=child, letter=rules.next_letter(letters)))


def put_back_faces(parent: Piece | None, children: Sequence[Piece]) -> None:
    """Fits that came of the breakage are undone; faces that were carried on go back to the parent."""
    faces = list(BreakFace.objects.filter(piece__in=children))
    for join in _standing(faces):
        if join.from_breakage:
            join.state, join.on, join.note = rules.UNDONE, today(), rules.TAKEN_BACK
            store(join)
    for face in faces:
        if parent and face.first_on_id not in {c.pk for c in children}:
            face.piece = parent
            store(face)
