"""What is barred, said to the cast page, to deeds, to lists and to today."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from django.db.models import Case, CharField, Exists, OuterRef, QuerySet, Value, When
from django.utils import timezone

from catalog.casts.models import Cast
from catalog.casts.subject import ListColumn, Standing, Subject, columns, panels, standing_of, what_hinders
from catalog.ground.asks import Duty, Event, Panel, history_of, todays_work
from catalog.ground.collection import today, zone
from catalog.ground.lists import Facet
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor, may
from registry.condition import reads, rules
from registry.condition.models import Restriction


def _sentence(barred: Restriction) -> str:
    what = barred.piece.number if barred.piece else barred.cast.number
    return rules.sentence(
        what, barred.deed, barred.why, since=barred.since, until=barred.until, who=barred.who_may_lift
    )


@what_hinders.answer
def barred(subject: Subject, deed: str) -> list[Reason]:
    """What stands in the way: one sentence a restriction, with the page where it is read."""
    return [Reason(_sentence(r), "", r.cast.href) for r in reads.barring(subject, deed)]


@panels.answer
def what_may_be_done(reader: Actor, cast: Cast) -> list[Panel]:
    if not may(reader, "record.read"):
        return []
    rows, day = reads.of_cast(reader, cast), today()
    standing = [r for r in rows if r.lifted_on is None and r.since <= day and (r.until is None or r.until >= day)]
    facts = {
        "barred": [{"row": r, "sentence": _sentence(r)} for r in standing],
        "past": [r for r in rows if r not in standing],
        "may_lift": may(reader, "restriction.lift"),
        "may_bar": may(reader, "restriction.write") and not cast.closed_as,
    }
    return [Panel("may", "condition/panel.html", facts, 20)]


@standing_of.answer
def standing_under_restriction(reader: Actor, cast: Cast) -> list[Standing]:
    first = reads.standing_on(reads.restrictions(reader).filter(cast=cast), today()).order_by("pk").first()
    return [Standing(_sentence(first), "wants", rank=30)] if first else []


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


@history_of.answer
def what_was_barred(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Cast):
        return []
    events = []
    for r in reads.of_cast(reader, record):
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
