"""What the page of one examination shows, and that of two beside each other."""

from __future__ import annotations

from typing import Any

from catalog.ground.collection import today
from catalog.ground.roles import Actor, may
from catalog.media.mark_drawing import Mark
from catalog.media.models import Photograph
from catalog.media.reads import drawing_of
from registry.condition.models import Examination, Finding
from registry.condition.reads import examinations as reads
from registry.condition.rules import examinations as rules
from registry.condition.states.damage import EVIDENCE
from registry.condition.states.examinations import MEANS


def examination_facts(reader: Actor, held: Examination) -> dict[str, Any]:
    own = held.by_id == reader.person_id or not reads.has_account(held.by_id)
    later = getattr(held, "replaced_by", None)
    return {
        "exam": held,
        "findings": [said_of(f) for f in held.findings.all()],
        "pictures": pictures_of(held),
        "means": MEANS.get(held.grade, ""),
        "summary": rules.summary(held.grade, [f.verdict for f in held.findings.all()]),
        "sentence": rules.sentence_signed(held.number, held.on),
        "may_change": may(reader, "examination.write") and not held.signed,
        "may_sign": may(reader, "examination.sign") and not held.signed and own,
        "may_put_right": may(reader, "examination.write") and held.signed and later is None,
        "later": later,
        "overdue": held.next_due is not None and held.next_due < today(),
    }


def said_of(finding: Finding) -> dict[str, Any]:
    """One finding in words: what, since when, what became of it."""
    first = finding.first.examination.on if finding.first else None
    was = finding.carried_from
    grew = bool(was and finding.verdict == "changed" and was.size_mm and was.size_mm != finding.size_mm)
    return {
        "finding": finding,
        "n": finding.n,
        "words": rules.finding_words(finding.kind, finding.size_mm, finding.where),
        "since": first,
        "was_mm": was.size_mm if was and grew else None,
        "evidence": finding.origin in EVIDENCE,
    }


def pictures_of(held: Examination) -> list[dict[str, Any]]:
    """Each photograph that bears marks of this examination, the one looked at first; with its drawing."""
    shots: dict[int, Photograph] = {held.picture.pk: held.picture} if held.picture else {}
    on: dict[int, list[Mark]] = {}
    for finding in held.findings.all():
        if finding.mark:
            shots.setdefault(finding.mark.photograph_id, finding.mark.photograph)
            mark = Mark(str(finding.n), finding.mark.drawn, state_of(finding))
            on.setdefault(finding.mark.photograph_id, []).append(mark)
    return [
        {"photograph": p, "drawing": drawing_of(p, on.get(pk, [])), "marks": on.get(pk, [])} for pk, p in shots.items()
    ]


def state_of(finding: Finding) -> str:
    """How a mark is drawn: last time's broken, gone ones thin and struck."""
    same = finding.carried_from is not None and finding.mark_id == finding.carried_from.mark_id
    return "gone" if finding.verdict == "gone" else "before" if same else ""


def against_facts(one: Examination, two: Examination) -> dict[str, Any]:
    """The earlier on the left; findings joined by their line."""
    earlier, later = sorted((one, two), key=lambda e: (e.on, e.pk))
    rows = []
    for was, now in reads.compared(earlier, later):
        either = now or was
        assert either is not None
        rows.append(
            {"n": either.n, "was": was and said_of(was), "now": now and said_of(now), "became": _became(was, now)}
        )
    return {
        "earlier": earlier,
        "later": later,
        "sides": [{"exam": e, "pictures": pictures_of(e), "means": MEANS.get(e.grade, "")} for e in (earlier, later)],
        "rows": rows,
        "changed": [r for r in rows if r["became"] != "as it was"],
    }


def _became(was: Finding | None, now: Finding | None) -> str:
    if was is None or (was.verdict == "gone" and now is not None and now.verdict != "gone"):
        return "new"
    if now is None:
        return "not looked at"
    if now.verdict == "gone":
        return "gone"
    return "as it was" if (now.size_mm, now.grade, now.mark_id) == (was.size_mm, was.grade, was.mark_id) else "changed"
