"""What broke and what came of it: parts and their masses, the balance, joins, loose fragments, what has been built on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet

from catalog.casts.mass_balance import NO_VERDICT, Balance, Weighed, balance
from catalog.casts.models import BreakFace, Cast, Join, Piece
from catalog.casts.subject import Subject
from catalog.casts.subject import built_on as asked_built_on
from catalog.ground import say
from catalog.ground.collection import local, today
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import REGISTRAR, Actor
from catalog.ground.sight import visible_to
from registry.condition.models import Breakage, BreakagePart, Incident
from registry.condition.reads.incidents import BREAKAGES

STANDING = ("dry fit", "fixed")
Weights = Mapping[int, Decimal | None]


def breakages(reader: Actor) -> QuerySet[Breakage]:
    """What broke, each with its incident and parts."""
    return visible_to(reader, BREAKAGES.all())


def weights_of(rows: Iterable[Breakage]) -> dict[int, Decimal | None]:
    """Mass of each part as it came of its breakage: as said then, else as it was before it broke further, else as it is now. One query."""
    parts = [p for b in rows for p in b.parts.all()]
    later = Breakage.objects.filter(piece__in=[p.piece_id for p in parts], incident__taken_back_on=None).order_by("-pk")
    before: dict[int, list[tuple[int, Decimal | None]]] = {}
    for pk, piece, mass_g in later.values_list("pk", "piece_id", "mass_before_g"):
        before.setdefault(piece or 0, []).insert(0, (pk, mass_g))
    return {p.pk: _weight(p, before.get(p.piece_id or 0, [])) for p in parts}


def _weight(part: BreakagePart, later: list[tuple[int, Decimal | None]]) -> Decimal | None:
    if part.mass_g is not None:
        return part.mass_g
    if after := [mass_g for pk, mass_g in later if pk > part.breakage_id]:
        return after[0]
    body = part.piece or part.breakage.cast
    if part.breakage.way == "one body" and body.mass_g == part.breakage.mass_before_g:
        return None  # nobody has weighed it since
    return body.mass_g


def balance_of(b: Breakage, weights: Weights) -> Balance:
    """Whether the masses add up, from what was weighed then and since."""
    parts = [p for p in b.parts.all() if p.piece]
    before = Weighed(b.mass_before_g, b.mass_before_u_g, b.mass_before_state) if b.mass_before_g is not None else None
    if b.way == "not known" and not parts:
        return Balance(None, None, None, NO_VERDICT, "Its parts are not known yet.")
    weighed = [_weighed(p, weights.get(p.pk)) for p in (parts or b.parts.all())]
    if b.crumbs_g:
        weighed.append(Weighed(b.crumbs_g))
    return balance(before, weighed, lost_g=b.lost_g)


def _weighed(part: BreakagePart, mass_g: Decimal | None) -> Weighed | None:
    return None if mass_g is None else Weighed(mass_g, *_u_and_state(part))


def _u_and_state(part: BreakagePart) -> tuple[Decimal | None, str]:
    if part.mass_g is not None or part.piece is None:
        return part.mass_u_g, part.mass_state
    return part.piece.mass_u_g, part.piece.mass_state


def told_of(incident: Incident) -> list[dict[str, Any]]:
    """Each thing that broke in it, with its parts, their masses, the balance and what followed."""
    rows = list(incident.breakages.all())
    weights = weights_of(rows)
    return [
        {
            "row": b,
            "parts": [{"piece": p.piece, "mass_g": weights.get(p.pk)} for p in b.parts.all() if p.piece],
            "balance": balance_of(b, weights),
            "consequences": b.consequences.splitlines(),
        }
        for b in rows
    ]


def unweighed(incident: Incident, known: Weights | None = None) -> list[BreakagePart]:
    """Parts that nobody has weighed yet."""
    if incident.taken_back_on:
        return []
    rows = list(incident.breakages.all())
    weights = weights_of(rows) if known is None else known
    return [p for b in rows for p in b.parts.all() if p.piece and p.piece.present and weights.get(p.pk) is None]


def new_numbers(incident: Incident) -> list[str]:
    """Numbers of the parts, which want labels."""
    return [p.piece.number for b in incident.breakages.all() if b.way != "one body" for p in b.parts.all() if p.piece]


def open_questions(incident: Incident) -> list[BreakFace]:
    """Faces in a standing join whose part is not known yet: they stay with the broken piece until somebody says."""
    parents = [b.piece_id for b in incident.breakages.all() if b.piece_id and b.way == "parts"]
    if not parents or incident.taken_back_on:
        return []
    joined = Q(joins_a__state__in=STANDING) | Q(joins_b__state__in=STANDING)
    return list(BreakFace.objects.filter(joined, piece__in=parents).select_related("piece__cast").distinct())


def n_loose(incident: Incident) -> int:
    loose = getattr(incident, "loose", None)
    return loose.n if loose and not incident.taken_back_on else 0


def has_loose(incident: Incident) -> bool:
    return n_loose(incident) > 0


def may_take_loose(incident: Incident) -> list[Subject]:
    """Things of this incident that loose fragments may have broken from."""
    return [Subject(b.cast, b.piece) for b in incident.breakages.all() if b.way != "one body"]


def what_will_follow(subject: Subject) -> list[str]:
    """What recording a breakage does by itself, before it is done."""
    told = [f"{subject} is no longer one piece. Its parts get the next numbers: {subject}.1, {subject}.2 and so on."]
    if subject.piece:
        ends = Join.objects.filter(
            Q(face_a__piece=subject.piece) | Q(face_b__piece=subject.piece), state__in=STANDING
        ).count()
        if ends:
            told.append(
                f"{say.capital(say.plural(ends, 'join'))} {'goes' if ends == 1 else 'go'} with the part that carries the face; "
                "which part, is asked after it."
            )
    return [*told, "Its parts stand where it stood.", "What is written of it stays, and leads on to its parts."]


def standing_joins(reader: Actor, cast: Cast, suffix: str = "") -> list[Join]:
    """Joins of a cast that hold now; with a suffix those of that piece."""
    rows = visible_to(reader, Join.objects.select_related("face_a__piece__cast", "face_b__piece__cast"))
    rows = rows.filter(cast=cast, state__in=STANDING).order_by("face_a__piece__sort", "face_b__piece__sort", "pk")
    if suffix:
        rows = rows.filter(Q(face_a__piece__suffix=suffix) | Q(face_b__piece__suffix=suffix))
    return list(rows)


def joins_named(reader: Actor, uids: list[UUID]) -> list[Join]:
    """The standing joins of these public ids; a Refusal names the first that is none."""
    rows = visible_to(reader, Join.objects.select_related("face_a__piece__cast", "face_b__piece__cast"))
    found = {join.uid: join for join in rows.filter(uid__in=uids)}
    for uid in uids:
        if uid not in found:
            raise Refusal(Reason("There is no such join.", "joins", said=str(uid)))
        if found[uid].state not in STANDING:
            raise Refusal(Reason(f"The join of {found[uid]} does not hold any more.", "joins", said=str(uid)))
    return [found[uid] for uid in uids]


def day_kept(made_at: datetime) -> date | None:
    """What a phone kept without signal was noticed on the day it was kept, by the phone's clock; today is now."""
    day = min(local(made_at).date(), today())
    return day if day < today() else None


def may_take_back(actor: Actor, incident: Incident) -> bool:
    """Who recorded it, or a registrar."""
    return not incident.taken_back_on and (incident.created_by_id == actor.account_id or REGISTRAR in actor.roles)


def built_on(incident: Incident) -> list[str]:
    """What has been built on it since: parts that broke further, joins made, a search ended."""
    found = getattr(incident, "found_by", None)
    told = [f"it was found again, {found.number}."] if found and not found.taken_back_on else []
    pieces = [p.piece_id for b in incident.breakages.all() if b.way != "one body" for p in b.parts.all() if p.piece_id]
    again = Breakage.objects.filter(piece__in=pieces, incident__taken_back_on=None).select_related("incident", "piece__cast")  # fmt: skip
    told += [f"{b.number} broke or was damaged on {say.day(b.incident.noticed_on)}." for b in again.exclude(incident=incident)]  # fmt: skip
    loose = getattr(incident, "loose", None)
    if loose and loose.n < loose.n_first:
        told.append("fragments of its loose lot were placed.")
    bodies = [p.piece for b in incident.breakages.all() if b.way != "one body" for p in b.parts.all() if p.piece]
    return (
        told
        + _later_than(incident)
        + [f"{s[:1].lower()}{s[1:]}" if s[:1].isalpha() else s for s in asked_built_on(bodies)]
    )


def _later_than(incident: Incident) -> list[str]:
    """A damaged body that broke or was damaged again."""
    bodies = [b for b in incident.breakages.all() if b.way == "one body"]
    told = []
    for body in bodies:
        later = Breakage.objects.filter(cast=body.cast, piece=body.piece, pk__gt=body.pk, incident__taken_back_on=None)
        told += [f"{b.number} broke or was damaged again on {say.day(b.incident.noticed_on)}." for b in later.select_related("incident", "piece__cast", "cast")]  # fmt: skip
    return told


def pieces_left(incident: Incident) -> list[Piece]:
    """Bodies that came of it and are still whole."""
    return [p.piece for b in incident.breakages.all() for p in b.parts.all() if p.piece and p.piece.present]
