"""Incidents as pages, the API, papers and other rooms read them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, time
from typing import Any

from django.db.models import Prefetch, Q, QuerySet
from django.utils import timezone

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Subject
from catalog.ground.collection import today, zone
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.condition.models import Breakage, Incident, IncidentSubject
from registry.condition.rules import incidents as rules
from registry.condition.said.incidents import IncidentSaid
from registry.places.reads import holder_as_of, kept_on, stood_at, where_words_long

_SUBJECTS = IncidentSubject.objects.select_related(
    "cast", "piece__cast", "place__parent__parent__parent", "holder"
).order_by("pk")
BREAKAGES = (
    Breakage.objects.select_related("cast", "piece__cast", "crumbs", "incident__noticed_by")
    .prefetch_related("parts__piece__cast", "parts__breakage__cast")
    .order_by("pk")
)


def incidents(reader: Actor) -> QuerySet[Incident]:
    """Incidents with the things they are about, for lists."""
    rows = Incident.objects.select_related("noticed_by", "finds", "found_by", "created_by__person", "closed_by__person")
    return visible_to(reader, rows).prefetch_related(Prefetch("subjects", _SUBJECTS))


def with_breakages(rows: QuerySet[Incident]) -> QuerySet[Incident]:
    """The same with what broke, its parts, failed joins, loose fragments and pictures."""
    joins = "failed_joins__join"
    ends = [f"{joins}__face_a__piece__cast", f"{joins}__face_b__piece__cast"]
    return rows.select_related("loose").prefetch_related(
        Prefetch("breakages", BREAKAGES), *ends, "pictures__photograph"
    )


def incident_at(reader: Actor, number: str) -> Incident:
    found = with_breakages(incidents(reader)).filter(number__iexact=number.strip()).first()
    if found is None:
        raise NotFound("This is not an incident of ours, or not one for your eyes.")
    return found


def of_cast(reader: Actor, cast: Cast) -> list[Incident]:
    """All that ever happened to a cast and its pieces, newest first; read once for its page."""
    rows = incidents(reader).filter(subjects__cast=cast).distinct().order_by("-noticed_on", "-pk")
    return kept_on(cast, "incidents", lambda: list(rows[:200]))


def numbers_of(incident: Incident) -> list[str]:
    """The things it is about."""
    return [s.number for s in incident.subjects.all()]


def title_of(incident: Incident) -> str:
    """`2016.1.4 broke`"""
    return rules.title(incident.kind, numbers_of(incident))


def last_seen(subject: IncidentSubject) -> str:
    """Where it was, in words; empty where nobody had said."""
    return where_words_long(subject.place) if subject.place else ""


def noticed_instant(said: IncidentSaid) -> datetime:
    """Now, or noon of an earlier day."""
    if said.noticed_on is None or said.noticed_on >= today():
        return timezone.now()
    return datetime.combine(said.noticed_on, time(12), tzinfo=zone())


def stood_and_held(subject: Subject, at: datetime) -> dict[str, Any]:
    """Place and hands of a thing at an instant, as an IncidentSubject keeps them."""
    held = holder_as_of(subject.cast, at)
    hands = {"holder": held.holder, "holder_words": held.holder_words, "ours": held.ours} if held else {}
    return {"place": stood_at(subject, at), **hands}


# what stands now


def _standing() -> QuerySet[Incident]:
    return Incident.objects.filter(taken_back_on__isnull=True)


def still_missing(rows: QuerySet[Incident] | None = None) -> QuerySet[Incident]:
    """What was reported missing and is not found again."""
    rows = _standing() if rows is None else rows.filter(taken_back_on__isnull=True)
    return rows.filter(kind="missing").filter(Q(found_by__isnull=True) | Q(found_by__taken_back_on__isnull=False))


def still_open(rows: QuerySet[Incident] | None = None) -> QuerySet[Incident]:
    """Breakages and damage that the keeper has not closed."""
    rows = _standing() if rows is None else rows.filter(taken_back_on__isnull=True)
    return rows.filter(kind__in=["breakage", "damage"], closed_on__isnull=True)


def touching(subjects: Iterable[Subject]) -> Q:
    """Rows about any of these things: by the cast, by the piece, of a whole cast by any piece."""
    asked = list(subjects)
    whole = {s.cast.pk for s in asked if s.piece is None}
    pieces = {s.piece.pk for s in asked if s.piece is not None}
    of_both = Q(cast__in={s.cast.pk for s in asked}, piece__isnull=True)
    return Q(cast__in=whole) | Q(piece__in=pieces) | of_both


def standing_subjects(subjects: Iterable[Subject], rows: QuerySet[Incident]) -> list[IncidentSubject]:
    """Which of these things a set of incidents is about."""
    found = IncidentSubject.objects.select_related("incident", "cast", "piece__cast", "place__parent", "holder")
    return list(found.filter(touching(subjects), incident__in=rows).order_by("incident_id", "pk"))


def missing_of(subject: Subject) -> Incident | None:
    """The open search for exactly this thing."""
    mine = IncidentSubject.objects.filter(cast=subject.cast, piece=subject.piece).values("incident")
    return still_missing().filter(pk__in=mine).order_by("-pk").first()


def search_for(subject: Subject) -> Incident:
    """The open search for this thing: NotFound where nobody looks for it."""
    found = missing_of(subject)
    if found is None:
        raise NotFound(f"Nobody is looking for {subject}.")
    return found


def here_and_held(subject: Subject) -> IncidentSubject:
    """Where it is now and in whose hands: as an incident would keep it, not written."""
    return IncidentSubject(cast=subject.cast, piece=subject.piece, **stood_and_held(subject, timezone.now()))


def broke_in(piece: Piece | None, cast: Cast) -> Breakage | None:
    """The standing breakage in which this thing stopped being whole."""
    rows = Breakage.objects.select_related("incident").filter(cast=cast, piece=piece, incident__taken_back_on=None)
    return rows.exclude(way="one body").order_by("-pk").first()


def is_in_pieces(cast: Cast) -> bool:
    """Whether it has pieces on record; what a breakage that was taken back had made does not count."""
    return Piece.objects.filter(cast=cast, struck_off="", became__isnull=True).exists()


def thing_of(subject: Subject, *, to_break: bool = True) -> rules.Thing:
    """What the rules ask of a thing that something happened to."""
    cast, piece = subject.cast, subject.piece
    present = piece.present if piece else True
    in_pieces = piece is None and is_in_pieces(cast)
    broke = broke_in(piece, cast) if not present or in_pieces else None
    rows = Piece.objects.filter(parent=piece, cast=cast, struck_off="")
    parts = tuple(p.number for p in rows.select_related("cast").order_by("sort")[:12]) if broke or not present else ()
    dig = cast.excavation
    return rules.Thing(
        str(subject),
        whole=present and not (in_pieces and broke),
        broke_on=broke.incident.noticed_on if broke else None,
        parts=parts,
        closed_as=cast.closed_as,
        has_pieces=to_break and in_pieces and broke is None,
        dug=(dig.dug_earliest if dig else None) or cast.made_earliest,
        href=subject.href,
    )
