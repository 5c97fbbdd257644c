"""Two faces fit: tried dry, fixed, failed, undone. And two that do not."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from catalog.casts.actions.faces import hold_face
from catalog.casts.models import BreakFace, Join, RefusedFit
from catalog.casts.reads.refitting import face_facts, standing_join_of
from catalog.casts.rules import pieces as rules
from catalog.casts.subject import Subject, what_hinders
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor, demand
from catalog.people.models import Person

ACT_OF = {rules.DRY: "join.dry", rules.FIXED: "join.fix", rules.FAILED: "join.undo", rules.UNDONE: "join.undo"}


def hold_pair(face_a: BreakFace, face_b: BreakFace) -> tuple[BreakFace, BreakFace]:
    """Two faces, their pieces and casts, held in the order of their keys whatever the order they are named in."""
    first, second = sorted((face_a.pk, face_b.pk))
    held = {pk: hold_face(pk) for pk in dict.fromkeys((first, second))}
    return held[face_a.pk], held[face_b.pk]


@action("join.dry")
def join_faces(
    actor: Actor,
    face_a: BreakFace,
    face_b: BreakFace,
    *,
    state: str = rules.DRY,
    adhesive: str = "",
    by: Person | None = None,
    on: date | None = None,
    note: str = "",
    from_breakage: bool = False,
) -> Join:
    """A join of two open faces of one cast. First assembly is refitting and needs no proposal."""
    demand(actor, ACT_OF.get(state, "join.dry"))
    a, b = hold_pair(face_a, face_b)
    refuse_if(rules.hinders_new_join(state, adhesive) + rules.hinders_day(on, today=today()), Refusal)
    _refuse_pair(a, b)
    if state == rules.FIXED:
        refuse_if([r for face in (a, b) for r in what_hinders(Subject(face.piece.cast, face.piece), "treat")])
    _forget_refusal(a, b)
    join = Join(cast=a.piece.cast, face_a=a, face_b=b, state=state, adhesive=adhesive.strip(), by=by)
    join.on, join.note, join.from_breakage = on or today(), note, from_breakage
    tell(a.number, joined=b.number, state=state)
    return store(join)


def _refuse_pair(a: BreakFace, b: BreakFace) -> None:
    """What is wrong with the pair itself is a wrong request; what is joined or gone already is the things' own state."""
    reasons = rules.hinders_join(face_facts(a), face_facts(b))
    if not reasons:
        return
    raise (Refusal if a.pk == b.pk or a.piece_id == b.piece_id or a.piece.cast_id != b.piece.cast_id else Hindered)(
        *reasons
    )


def _forget_refusal(a: BreakFace, b: BreakFace) -> None:
    first, second = sorted((a.pk, b.pk))
    for refused in RefusedFit.objects.filter(face_a=first, face_b=second, taken_back=False):
        refused.taken_back = True
        store(refused)


def hold_join(pk: int, expected_version: int | None = None) -> Join:
    """The join with its two faces, locked until the act ends."""
    there = Join.objects.select_related("face_a", "face_b").filter(pk=pk).first()
    if there:
        hold_pair(there.face_a, there.face_b)
    return locked(Join, expected_version, pk=pk)


@action("join.dry")
def change_join(
    actor: Actor,
    pk: int,
    state: str,
    *,
    adhesive: str = "",
    by: Person | None = None,
    on: date | None = None,
    note: str = "",
    expected_version: int | None = None,
) -> Join:
    """Fixes a dry fit, or says that a join failed or was undone. What is over stays on record; faces are joined anew."""
    demand(actor, ACT_OF.get(state, "join.undo"))
    join = hold_join(pk, expected_version)
    refuse_if(rules.hinders_day(on, today=today()) + rules.hinders_adhesive(state, adhesive or join.adhesive), Refusal)
    refuse_if(rules.hinders_state(join.state, state))
    if rules.FIXED in (state, join.state) and state != rules.FAILED:  # gluing, and taking apart what was glued
        faces = (join.face_a, join.face_b)
        refuse_if([r for face in faces for r in what_hinders(Subject(join.cast, face.piece), "treat")])
    join.state, join.by, join.on = state, by, on or today()
    join.adhesive, join.note = adhesive.strip() or join.adhesive, note or join.note
    return store(join)


@action("breakage.record")
def break_joins(
    actor: Actor, joins: Iterable[Join], on: date | None = None, by: Person | None = None, *, note: str = ""
) -> list[Join]:
    """An assembled cast comes apart along old joins: these fail, no piece breaks."""
    refuse_if(rules.hinders_day(on, today=today()), Refusal)
    failed = []
    for pk in sorted({j.pk for j in joins}):
        join = hold_join(pk)
        refuse_if(rules.hinders_state(join.state, rules.FAILED))
        join.state, join.by, join.on, join.note = rules.FAILED, by, on or today(), note or join.note
        failed.append(store(join))
    return failed


@action("fit.refuse")
def refuse_fit(
    actor: Actor,
    face_a: BreakFace,
    face_b: BreakFace,
    *,
    why: str = "",
    by: Person | None = None,
    on: date | None = None,
) -> RefusedFit:
    """These two were tried and do not fit: remembered, and not suggested again."""
    a, b = hold_pair(*sorted((face_a, face_b), key=lambda f: f.pk))
    refuse_if(rules.hinders_day(on, today=today()), Refusal)
    tied = standing_join_of(a)
    if tied and b.pk in (tied.face_a_id, tied.face_b_id):
        raise Hindered(Reason(f"{a.number} and {b.number} are joined. Undo the join first.", "faces/1"))
    if a.pk == b.pk or a.piece.cast_id != b.piece.cast_id:
        raise Refusal(Reason("Name two faces of one cast.", "faces/1", said=b.number))
    there = RefusedFit.objects.filter(face_a=a, face_b=b).first()
    refused = there or RefusedFit(cast=a.piece.cast, face_a=a, face_b=b)
    refused.why, refused.by, refused.on, refused.taken_back = why, by, on or today(), False
    return store(refused)
