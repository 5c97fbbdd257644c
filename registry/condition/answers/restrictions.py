"""What is barred, said to the cast page, to deeds, to lists and to today."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from django.db.models import Case, CharField, Exists, OuterRef, QuerySet, Value, When
from django.utils import timezone

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import (
    ListColumn,
    Standing,
    Subject,
    columns,
    panels,
    piece_panels,
    standing_of,
    what_hinders,
    what_hinders_any,
)
from catalog.ground import say
from catalog.ground.asks import Duty, Event, Panel, history_of, todays_work
from catalog.ground.collection import today, zone
from catalog.ground.lists import Facet
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor, may
from registry.condition.models import Restriction
from registry.condition.reads import restrictions as reads
from registry.condition.rules import restrictions as rules


def _number(barred: Restriction) -> str:
    return barred.piece.number if barred.piece else barred.cast.number


def _sentence(barred: Restriction) -> str:
    return rules.sentence(
        _number(barred), barred.deed, barred.why, since=barred.since, until=barred.until, who=barred.who_may_lift
    )


@what_hinders.answer
def barred(subject: Subject, deed: str) -> list[Reason]:
    """What stands in the way: one sentence a restriction, with the page where it is read."""
    return _barred([subject], deed)


@what_hinders_any.answer
def barred_of_any(subjects: list[Subject], deed: str) -> list[Reason]:
    """The same of many things at once, in one query."""
    return _barred(subjects, deed)


def _barred(subjects: list[Subject], deed: str) -> list[Reason]:
    return [Reason(_sentence(r), "", r.cast.href) for r in reads.barring_any(subjects, deed)]


@panels.answer
def what_may_be_done(reader: Actor, cast: Cast) -> list[Panel]:
    if not may(reader, "record.read"):
        return []
    facts = _shown(reader, reads.of_cast(reader, cast))
    facts["may_bar"] = may(reader, "restriction.write") and not cast.closed_as
    return [Panel("may", "condition/panel.html", facts, 20)]


@piece_panels.answer
def what_may_be_done_with_the_piece(reader: Actor, piece: Piece) -> list[Panel]:
    """What bars the piece itself, and what bars its cast."""
    if not may(reader, "record.read"):
        return []
    mine = [r for r in reads.of_cast(reader, piece.cast) if r.piece_id in (None, piece.pk)]
    facts = _shown(reader, mine) | {"suffix": piece.suffix}
    facts["may_bar"] = may(reader, "restriction.write") and piece.present and not piece.cast.closed_as
    return [Panel("may", "condition/panel.html", facts, 20)]


def _shown(reader: Actor, rows: list[Restriction]) -> dict[str, Any]:
    standing = [r for r in rows if rules.in_force(r.since, r.until, r.lifted_on, on=today())]
    return {
        "barred": [{"row": r, "sentence": _sentence(r)} for r in standing],
        "past": [r for r in rows if r not in standing],
        "may_lift": may(reader, "restriction.lift"),
    }


@standing_of.answer
def standing_under_restriction(reader: Actor, cast: Cast) -> list[Standing]:
    rows = reads.of_cast(reader, cast)
    standing = [r for r in rows if rules.in_force(r.since, r.until, r.lifted_on, on=today())]
    return [Standing(_sentence(standing[-1]), "wants", rank=30)] if standing else []


def _annotate(rows: QuerySet[Cast], reader: Actor) -> QuerySet[Cast]:
    standing = reads.standing_on(Restriction.objects.filter(cast=OuterRef("pk")), today())
    barred = Case(When(Exists(standing), then=Value("barred")), default=Value("free"), output_field=CharField())
    return rows.annotate(restriction=barred)


@columns.answer
def barred_in_lists() -> list[ListColumn]:
    facet = Facet(
        "restriction",
        "restriction",
        "Is a deed barred?",
        {"barred": "something is barred", "free": "nothing is barred"},
    )
    return [
        ListColumn(
            "restriction",
            "Barred",
            _annotate,
            "restriction",
            facet,
            lambda row: "something is barred" if row.restriction == "barred" else "",
        )
    ]


@todays_work.answer
def restrictions_that_end(reader: Actor) -> list[Duty]:
    """Restrictions that end within a fortnight: who looks after it decides anew."""
    if not may(reader, "restriction.lift"):
        return []
    day = today()
    rows = reads.restrictions(reader).filter(
        lifted_on__isnull=True, until__gte=day, until__lte=day + timedelta(days=14)
    )
    return [
        Duty(
            f"{r.cast.number} may be {rules.DONE[r.deed]} again soon: the restriction ends.",
            r.cast.href,
            r.until,
            "soon",
            r.cast.number,
            act="Look",
        )
        for r in rows[:50]
    ]


@todays_work.answer
def restrictions_that_ended(reader: Actor) -> list[Duty]:
    """Their last day is over and nobody looked: the keeper lifts them, or somebody bars it anew."""
    if not may(reader, "restriction.lift"):
        return []
    return [
        Duty(
            f"{_number(r)} was not to be {rules.DONE[r.deed]} until {say.day(r.until)}. Look whether that still holds.",
            f"/restrictions/{r.pk}/lift/",
            r.until,
            "waits",
            _number(r),
            act="Look",
        )
        for r in reads.ended(reader)[:50]
        if r.until
    ]


@history_of.answer
def what_was_barred(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, (Cast, Piece)):
        return []
    cast = record.cast if isinstance(record, Piece) else record
    rows = [r for r in reads.of_cast(reader, cast) if isinstance(record, Cast) or r.piece_id in (None, record.pk)]
    events = []
    for r in rows:
        at = datetime.combine(r.since, datetime.min.time(), tzinfo=zone())
        late = r.created_at if r.created_at - at > timedelta(days=2) else None
        events.append(
            Event(
                min(at, timezone.now()),
                f"Not to be {rules.DONE[r.deed]}: {r.why}",
                "exam",
                str(r.said_by or ""),
                learnt_at=late,
            )
        )
        if r.lifted_on:
            events.append(Event(r.changed_at, f"May be {rules.DONE[r.deed]} again: {r.lifted_why}", "exam"))
    return events
