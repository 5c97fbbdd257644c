"""What is known of the state of things, said to the pages of casts and pieces, to deeds, to lists and to today."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, time
from typing import Any

from django.db.models import OuterRef, QuerySet, Subquery
from django.utils import timezone

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import (
    ListColumn,
    Subject,
    columns,
    facts,
    panels,
    piece_panels,
    what_hinders,
    what_hinders_any,
)
from catalog.ground import say
from catalog.ground.asks import Duty, Event, Panel, history_of, todays_work
from catalog.ground.collection import today, zone
from catalog.ground.lists import Facet
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor, may
from catalog.media.asks import holds_mark
from catalog.media.mark_drawing import Mark
from catalog.media.models import Annotation
from catalog.media.reads import drawing_of
from registry.condition.models import Examination, Finding
from registry.condition.reads import examinations as reads
from registry.condition.rules import examinations as rules
from registry.condition.states.examinations import GRADES, MEANS

_STATE_OF = {"good": "", "fair": "", "poor": "wants", "unstable": "harm"}


@panels.answer
def its_state(reader: Actor, cast: Cast) -> list[Panel]:
    return _panel(reader, cast, None, open_=not cast.closed_as)


@piece_panels.answer
def state_of_the_piece(reader: Actor, piece: Piece) -> list[Panel]:
    return _panel(reader, piece.cast, piece, open_=piece.present and not piece.cast.closed_as)


def _panel(reader: Actor, cast: Cast, piece: Piece | None, *, open_: bool) -> list[Panel]:
    if not may(reader, "record.read"):
        return []
    last = reads.last_on_page(reader, cast, piece)
    may_examine = may(reader, "examination.write") and open_
    every = reads.of_cast(reader, cast)
    mine = [e for e in every if piece is None or e.piece_id == piece.pk]
    shown: dict[str, Any] = {
        "last": last,
        "may_examine": may_examine,
        "n": len(mine),
        "drafts": [e for e in mine if not e.signed],
    }
    shown["new"] = f"{cast.href}examinations/new/" + (f"?piece={piece.suffix}" if piece else "")
    if last:
        shown |= facts_of(last) | {"means": MEANS[last.grade], "word_state": _STATE_OF[last.grade]}
    return [Panel("state", "condition/panel_examined.html", shown, 20)]


def facts_of(last: Examination) -> dict[str, Any]:
    """Its standing findings in words, and the picture with their marks."""
    rows = [f for f in last.findings.all() if f.verdict != "gone"]
    shots = [f.mark.photograph for f in rows if f.mark]
    picture = last.picture or next(iter(shots), None)
    on_it = [Mark(str(f.n), f.mark.drawn) for f in rows if f.mark and picture and f.mark.photograph_id == picture.pk]
    return {
        "rows": [{"finding": f, "words": rules.finding_words(f.kind, f.size_mm, f.where)} for f in rows],
        "picture": picture if on_it else None,
        "drawing": drawing_of(picture, on_it) if picture and on_it else "",
    }


# deeds


@what_hinders.answer
def too_weak(subject: Subject, deed: str) -> list[Reason]:
    """What was found poor or unstable is not lent; what loses material is not touched or mounted."""
    return _weak([subject], deed)


@what_hinders_any.answer
def any_too_weak(subjects: list[Subject], deed: str) -> list[Reason]:
    return _weak(subjects, deed)


def _weak(subjects: Iterable[Subject], deed: str) -> list[Reason]:
    if deed not in ("lend", "mount", "touch"):
        return []
    found = reads.latest_by_cast([s.cast for s in subjects])
    said = [(rules.hinders_deed(e.number, e.grade, e.on, deed), e.href) for e in found.values()]
    return [Reason(sentence, "", href) for sentence, href in said if sentence]


@holds_mark.answer
def signed_findings(mark: Annotation) -> list[Reason]:
    """A mark that a signed examination rests on stays on its photograph."""
    held = Finding.objects.filter(mark=mark, examination__signed_at__isnull=False).select_related("examination__cast")
    first = held.first()
    if first is None:
        return []
    when = say.day(first.examination.on)
    return [
        Reason(
            f"Finding {first.n} of the signed examination of {when} rests on it, so it stays.",
            "",
            first.examination.href,
        )
    ]


# lists, the API's facts


def _annotate(rows: QuerySet[Cast], reader: Actor) -> QuerySet[Cast]:
    last = reads.standing(Examination.objects.filter(cast=OuterRef("pk"), piece__isnull=True))
    return rows.annotate(condition=Subquery(last.order_by("-on", "-pk").values("grade")[:1]))


@columns.answer
def condition_in_lists() -> list[ListColumn]:
    facet = Facet("condition", "condition", "In which state?", dict(GRADES))
    return [ListColumn("condition", "State", _annotate, "condition", facet, lambda row: row.condition or "")]


@facts.answer
def state_at(reader: Actor, casts: list[Cast], at: datetime | None) -> list[tuple[int, str, Any]]:
    """`condition`: the grade, and of which day."""
    if not may(reader, "record.read"):
        return []
    found = reads.latest_by_cast(casts, at)
    return [(pk, "condition", {"grade": e.grade, "examined_on": e.on.isoformat()}) for pk, e in found.items()]


# today


@todays_work.answer
def examinations_due(reader: Actor) -> list[Duty]:
    if not may(reader, "examination.write"):
        return []
    day = today()
    return [
        Duty(
            f"{e.number} is to be examined {'since' if e.next_due < day else 'by'} {say.day(e.next_due)}.",
            f"{e.cast.href}examinations/new/?for=routine" + (f"&piece={e.piece.suffix}" if e.piece else ""),
            e.next_due,
            "late" if e.next_due < day else "soon",
            e.number,
            act="Examine",
        )
        for e in reads.due(reader)
        if e.next_due
    ]


@todays_work.answer
def examinations_unsigned(reader: Actor) -> list[Duty]:
    if not may(reader, "examination.sign") or not reader.signed_in:
        return []
    return [
        Duty(
            f"The examination of {e.number} of {say.day(e.on)} is not signed yet."
            + (f" {e.by.name} signs it." if e.by_id != reader.person_id else ""),
            e.href,
            e.on,
            "waits",
            e.number,
            act="Look at it",
        )
        for e in reads.drafts_for(reader)
    ]


# what happened


@history_of.answer
def what_was_examined(reader: Actor, record: Any) -> list[Event]:
    """Signed examinations of a cast with its pieces, or of a piece."""
    if not isinstance(record, (Cast, Piece)) or not may(reader, "history.read"):
        return []
    cast = record.cast if isinstance(record, Piece) else record
    rows = [e for e in reads.of_cast(reader, cast) if isinstance(record, Cast) or e.piece_id == record.pk]
    return [_event(e, isinstance(record, Cast)) for e in rows if e.signed]


def _event(e: Examination, on_cast: bool) -> Event:
    what = f"Piece {e.number} examined" if e.piece and on_cast else "Examined"
    summary = rules.summary(e.grade, [f.verdict for f in e.findings.all()])
    undone = " A newer one puts it right." if e.is_replaced else ""  # type: ignore[attr-defined]
    at = min(datetime.combine(e.on, time(12), tzinfo=zone()), timezone.now())
    learnt = e.signed_at if e.signed_at and (e.signed_at - at).days >= 2 else None
    return Event(
        at, f"{what}, {e.get_reason_display()}: {summary}{undone}", "exam", str(e.by), e.href, learnt_at=learnt
    )
