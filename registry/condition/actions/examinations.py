"""Every write about examinations: looked at, changed while unsigned, signed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from django.utils import timezone

from catalog.casts.actions import hold_cast
from catalog.casts.models import Cast
from catalog.casts.subject import Subject
from catalog.ground.acting import action, locked, remove, store, tell
from catalog.ground.collection import collection, today
from catalog.ground.edtf import read_edtf
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor, may
from catalog.media.actions import keep_photograph, mark, unmark
from catalog.media.models import Annotation
from registry.condition.models import Examination, Finding
from registry.condition.reads import examinations as reads
from registry.condition.rules import examinations as rules
from registry.condition.said import CarriedSaid, ExaminationSaid, MarkSaid, NewSaid
from registry.places.reads import place_now


@action("examination.write")
def examine(actor: Actor, what: Subject, said: ExaminationSaid, *, sign: bool = True) -> Examination:
    """Writes down one look at a cast or a piece, and signs it unless it is to wait.

    Every finding of the last examination is answered before it is signed; what was only looked at later is refused by name.
    """
    refuse_if(_hinders(what))
    refuse_if(rules.wrong_examination(said, today=today(), made_from=_made_from(what.cast)), Refusal)
    hold_cast(what.cast.pk)
    last = _last(what, said)
    made = Examination(cast=what.cast, piece=what.piece, place=place_now(what), previous=last)
    _take(made, actor, said)
    store(made)
    _write_findings(actor, made, last, said, ())
    if sign:
        _sign(actor, made, last)
    return made


def _hinders(what: Subject) -> list[Reason]:
    present = what.piece is None or what.piece.present
    return rules.hinders_examining(number=str(what), present=present, closed_as=what.cast.closed_as)


def _made_from(cast: Cast) -> date | None:
    return read_edtf(cast.made_on, south=collection().south).earliest if cast.made_on else None


def _last(what: Subject, said: ExaminationSaid, *, but: int | None = None) -> Examination | None:
    """The one that this look goes on from: the last up to its day; a correction goes on from where the wrong one did."""
    if said.replaces is not None:
        wrong: Examination = said.replaces
        if (wrong.cast_id, wrong.piece_id) != (what.cast.pk, what.piece.pk if what.piece else None):
            raise Refusal(Reason("An examination puts right one of the same thing.", "replaces"))
        if not wrong.signed or Examination.objects.filter(replaces=wrong).exclude(pk=but or 0).exists():
            raise Hindered("Only a signed examination is put right, and only once.")
        return wrong
    return reads.last_of(what, said.on or today(), but=but)


def _take(made: Examination, actor: Actor, said: ExaminationSaid) -> None:
    made.reason, made.on = said.reason, said.on or today()
    looked: int | None = said.by.pk if said.by else actor.person_id
    if looked is None:
        raise Refusal(Reason("Say who looked at it.", "by"))
    made.by_id = looked
    for name in ("plain", "grade", "next_due", "picture", "replaces"):
        setattr(made, name, getattr(said, name))
    if fresh := [keep_photograph(actor, u, cast=made.cast, piece=made.piece, by=said.by) for u in said.uploads]:
        made.picture = fresh[0]
    for name in ("method", "not_seen", "risk", "recommendation", "note"):
        setattr(made, name, getattr(said, name).strip())


# findings


def _write_findings(
    actor: Actor,
    made: Examination,
    last: Examination | None,
    said: ExaminationSaid,
    drawn: Sequence[Annotation],
) -> None:
    """`drawn`: marks that an earlier draft of the same look drew; the same place is not drawn twice."""
    before = {f.pk: f for f in reads.standing_findings(last)}
    for at, one in enumerate(said.carried):
        if one.finding_pk not in before:
            raise Hindered(
                Reason(
                    "Somebody examined it meanwhile, or the day is another one: this finding is not of the last time. Open the page anew; what you wrote is kept.",
                    f"carried/{at}",
                )
            )
        store(_carried(actor, made, before[one.finding_pk], one, drawn, f"carried/{at}"))
    n = max((f.n for f in last.findings.all()), default=0) if last else 0
    for at, new in enumerate(said.new):
        store(_new(actor, made, n + at + 1, new, drawn, f"new/{at}"))


def _carried(
    actor: Actor, made: Examination, was: Finding, said: CarriedSaid, drawn: Sequence[Annotation], at: str
) -> Finding:
    changed = said.verdict == "changed"
    words = rules.finding_words(was.kind, said.size_mm if changed and said.size_mm else was.size_mm, was.where)
    drawn_anew = _mark(actor, said.mark, words, made, drawn, at) if said.mark and said.verdict != "gone" else None
    return Finding(
        examination=made,
        n=was.n,
        verdict=said.verdict,
        carried_from=was,
        first_id=was.line,
        kind=was.kind,
        where=was.where,
        size_mm=said.size_mm if changed and said.size_mm else was.size_mm,
        grade=(said.grade if changed else "") or was.grade,
        origin=was.origin,
        active=was.active,
        note=said.note.strip() or was.note,
        mark=drawn_anew or was.mark,
    )


def _new(actor: Actor, made: Examination, n: int, said: NewSaid, drawn: Sequence[Annotation], at: str) -> Finding:
    words = rules.finding_words(said.kind, said.size_mm, said.where)
    marked = _mark(actor, said.mark, words, made, drawn, at) if said.mark else None
    facts = {f: getattr(said, f) for f in ("kind", "size_mm", "grade", "origin", "active")}
    return Finding(
        examination=made, n=n, verdict="new", where=said.where.strip(), note=said.note.strip(), mark=marked, **facts
    )


def _mark(
    actor: Actor, said: MarkSaid, words: str, made: Examination, drawn: Sequence[Annotation], at: str
) -> Annotation:
    photograph = made.picture if said.photograph == "new" else said.photograph
    if photograph is None:
        raise Refusal(Reason("Choose on which photograph it is marked.", f"{at}/mark/position"))
    if photograph.cast_id != made.cast_id:
        raise Refusal(Reason("This photograph is of another thing.", f"{at}/mark/position"))
    for one in drawn:
        if (one.photograph_id, one.shape, one.points) == (photograph.pk, said.shape, said.position.strip()):
            return one
    try:
        return mark(actor, photograph, said.shape, said.position, words, radius_px=said.radius_px, by=made.by)
    except Refusal as refusal:
        refusal.reasons = [Reason(r.sentence, f"{at}/mark/{r.field}", r.remedy, r.said) for r in refusal.reasons]
        raise


# drafts


@action("examination.write")
def change_draft(
    actor: Actor, pk: int, said: ExaminationSaid, *, expected_version: int | None = None, sign: bool = False
) -> Examination:
    """Writes an unsigned examination anew, as it is said now."""
    held = locked(Examination, expected_version, pk=pk)
    if held.signed:
        raise Hindered("It is signed, and signed it stays as it is. Write a new one that puts it right.")
    what = Subject(held.cast, held.piece)
    refuse_if(_hinders(what))
    refuse_if(rules.wrong_examination(said, today=today(), made_from=_made_from(what.cast)), Refusal)
    hold_cast(what.cast.pk)
    last = held.previous = _last(what, said, but=held.pk)
    _take(held, actor, said)
    drawn = [f.mark for f in held.findings.select_related("mark") if f.mark]
    for finding in held.findings.all():
        remove(finding)
    store(held)
    _write_findings(actor, held, last, said, drawn)
    kept = set(held.findings.values_list("mark", flat=True)) | {f.mark_id for f in reads.standing_findings(last)}
    for gone in (m for m in drawn if m.pk not in kept):
        unmark(actor, gone.pk, "written anew before it was signed")
    if sign:
        _sign(actor, held, last)
    return held


@action("examination.sign")
def sign_examination(actor: Actor, pk: int, *, expected_version: int | None = None) -> Examination:
    """Signs what one has seen oneself: from now on it is evidence, and stays."""
    held = locked(Examination, expected_version, pk=pk)
    if held.signed:
        raise Hindered("It is signed already.")
    _sign(actor, held, held.previous)
    return held


def _sign(actor: Actor, made: Examination, last: Examination | None) -> None:
    now: Any = list(made.findings.order_by("n"))
    answered = {f.carried_from_id for f in now}
    still = [f.n for f in reads.standing_findings(last) if f.pk not in answered]
    seen = [rules.Seen(f.n, f.kind, f.verdict, f.grade) for f in now]
    own = may(actor, "examination.sign") and (made.by_id == actor.person_id or not reads.has_account(made.by_id))
    refuse_if(rules.hinders_signing(made.grade, seen, still, own=own, examiner=made.by.name), Refusal)
    made.signed_at, made.signed_by_id = timezone.now(), actor.account_id
    store(made)
    tell(made.number, examined=made.grade)
