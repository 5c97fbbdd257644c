"""Examinations and findings as pages, the API, papers and other rooms read them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from django.db.models import Count, Exists, OuterRef, Prefetch, Q, QuerySet
from django.db.models.functions import Coalesce

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Subject
from catalog.ground.collection import local, today
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.people.models import Account
from registry.condition.models import Examination, Finding
from registry.condition.states.examinations import DUE_SOON_DAYS
from registry.places.reads import kept_on


def examinations(reader: Actor) -> QuerySet[Examination]:
    """Examinations, drafts among them, with what a row shows; `is_replaced` where a newer one puts it right."""
    later = Examination.objects.filter(replaces=OuterRef("pk"), signed_at__isnull=False)
    rows = Examination.objects.select_related(
        "cast__taxon", "piece__cast", "by", "place", "picture", "previous__by", "replaces", "signed_by__person"
    )
    return visible_to(reader, rows.annotate(is_replaced=Exists(later)))


def with_findings(rows: QuerySet[Examination]) -> QuerySet[Examination]:
    return rows.prefetch_related(Prefetch("findings", _findings()))


def _findings() -> QuerySet[Finding]:
    return Finding.objects.select_related(
        "mark__photograph", "mark__by", "first__examination", "carried_from__mark"
    ).order_by("n")


def for_list(reader: Actor) -> QuerySet[Examination]:
    """Rows of a list: how many findings stand, and whether the next one is over."""
    counted = Count("findings", filter=~Q(findings__verdict="gone"))
    return examinations(reader).annotate(n_findings=counted)


def examination_at(reader: Actor, pk: int) -> Examination:
    found = with_findings(examinations(reader)).filter(pk=pk).first()
    if found is None:
        raise NotFound("There is no such examination.")
    return found


def standing(rows: QuerySet[Examination]) -> QuerySet[Examination]:
    """Signed ones that no newer one puts right."""
    later = Examination.objects.filter(replaces=OuterRef("pk"), signed_at__isnull=False)
    return rows.filter(signed_at__isnull=False).exclude(Exists(later))


def last_of(what: Subject, on: date | None = None, *, but: int | None = None) -> Examination | None:
    """The last standing examination of exactly this thing, up to that day; `but` leaves one out."""
    rows = standing(Examination.objects.filter(cast=what.cast, piece=what.piece))
    if but is not None:
        rows = rows.exclude(pk=but)
    if on is not None:
        rows = rows.filter(on__lte=on)
    rows = rows.select_related("by", "picture", "cast", "piece__cast").prefetch_related(
        Prefetch("findings", _findings())
    )
    return rows.order_by("-on", "-signed_at").first()


def standing_findings(last: Examination | None) -> list[Finding]:
    """What was there when it was looked at last."""
    return [f for f in last.findings.all() if f.verdict != "gone"] if last else []


def of_cast(reader: Actor, cast: Cast) -> list[Examination]:
    """All examinations of a cast and its pieces, newest first; read once for its page."""
    rows = with_findings(examinations(reader)).filter(cast=cast).order_by("-on", "-pk")
    return kept_on(cast, "examinations", lambda: list(rows))


def last_on_page(reader: Actor, cast: Cast, piece: Piece | None = None) -> Examination | None:
    """The last standing examination of the whole cast, or of one piece, out of those read for its page."""
    mine = (e for e in of_cast(reader, cast) if e.piece_id == (piece.pk if piece else None))
    return next((e for e in mine if e.signed and not e.is_replaced), None)  # type: ignore[attr-defined]


def due(reader: Actor, *, within_days: int = DUE_SOON_DAYS) -> list[Examination]:
    """Last examinations whose next one is due within so many days, or over; of what is still there."""
    rows = visible_to(reader, standing(Examination.objects.select_related("cast", "piece__cast")))
    rows = rows.filter(next_due__lte=today() + timedelta(days=within_days), cast__closed_as="")
    rows = rows.filter(Q(piece__isnull=True) | Q(piece__present=True)).exclude(Exists(_later_than()))
    return list(rows.order_by("next_due", "pk")[:50])


def _later_than() -> QuerySet[Examination]:
    """A later standing examination of the same thing: the same piece, or the cast as a whole both times."""
    thing = Coalesce("piece_id", 0)
    rows = standing(Examination.objects.filter(cast=OuterRef("cast"))).alias(thing=thing)
    same = rows.filter(thing=Coalesce(OuterRef("piece_id"), 0))
    return same.filter(Q(on__gt=OuterRef("on")) | Q(on=OuterRef("on"), pk__gt=OuterRef("pk")))


def drafts_for(reader: Actor) -> list[Examination]:
    """Unsigned ones that wait for this reader: whose look it was, or who wrote it."""
    mine = Q(by=reader.person_id) | Q(created_by=reader.account_id)
    rows = visible_to(reader, Examination.objects.select_related("cast", "piece__cast", "by"))
    return list(rows.filter(mine, signed_at__isnull=True).order_by("on", "pk")[:50])


def latest_by_cast(casts: Iterable[Cast], at: datetime | None = None) -> dict[int, Examination]:
    """For each cast its last standing examination as a whole, up to that instant; one query."""
    rows = standing(Examination.objects.filter(cast__in=[c.pk for c in casts], piece__isnull=True))
    if at is not None:
        rows = rows.filter(on__lte=local(at).date())
    return {e.cast_id: e for e in rows.order_by("on", "pk")}


def has_account(person_pk: int) -> bool:
    return Account.objects.filter(person=person_pk).exists()


def compared(one: Examination, other: Examination) -> list[tuple[Finding | None, Finding | None]]:
    """Findings of two examinations joined by their line: (in the earlier, in the later), by number."""
    earlier = {f.line: f for f in one.findings.all()}
    later = {f.line: f for f in other.findings.all()}
    lines = sorted({*earlier, *later}, key=lambda line: (earlier.get(line) or later[line]).n)
    return [(earlier.get(line), later.get(line)) for line in lines]
