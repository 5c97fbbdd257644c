"""What casts themselves say when asked."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from catalog.casts import reads
from catalog.casts.completeness import Share
from catalog.casts.models import Cast, Determination, Join
from catalog.casts.reads.wholes import Whole, whole_of
from catalog.casts.rules.casts import LABELS, TOLD_ELSEWHERE
from catalog.casts.sections import Carried
from catalog.casts.subject import Standing, panels, standing_of
from catalog.excavations.asks import excavation_panels
from catalog.excavations.models import Excavation
from catalog.ground import say, search
from catalog.ground.asks import Bearer, Duty, Event, Panel, bearer_of, history_of, todays_work
from catalog.ground.collection import local
from catalog.ground.past import Change, as_events, changes_of
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor, may
from catalog.taxa.asks import name_corrected
from catalog.taxa.models import Taxon


@panels.answer
def what_it_is(reader: Actor, cast: Cast) -> list[Panel]:
    """The record itself: first under the first question, and how much of it there is."""
    whole = whole_of(reader, cast)
    n_weighed = sum(1 for p in whole.pieces if p.mass_g is not None)
    facts = {
        "cast": cast,
        "whole": whole,
        "n_pieces": len(whole.pieces),
        "n_weighed": n_weighed,
        "weighed_g": whole.weighed_g if n_weighed else None,
        "shares": [_share_words(s) for s in whole.completeness] if whole.pieces else [],
        "sections": _sections_words(whole),
        "carried": [_carried_words(join, held) for join, held in whole.carried],
        "left_out": [str(j) for j in whole.left_out],
        "can_accept": [
            d.pk for d in cast.determinations.all() if not d.accepted and may(reader, "determination.accept", d)
        ],
    }
    return [Panel("is", "casts/panel_is.html", facts, 10), Panel("how much", "casts/panel_how_much.html", facts, 10)]


def _share_words(share: Share) -> dict[str, Any]:
    """One measure of completeness as the page shows it."""
    per_cent = say.figure(round(share.share * 100, 1)) + " %" if share.share is not None else ""
    wide = f" ± {say.figure(round(2 * share.uncertainty * 100, 1))} %" if share.uncertainty else ""
    return {"by": share.by, "share": share.share, "u": share.uncertainty, "words": per_cent + wide, "row": share}


def _sections_words(whole: Whole) -> str:
    """`two sections and three loose pieces`; empty where nothing is joined."""
    if not whole.pieces or not whole.joins:
        return ""
    held = [s for s in whole.sections if len(s) > 1]
    laid = [s for s in whole.laid_together if len(s) > 1]
    parts = [say.plural(len(held), "section") + (" held by fixed joins" if held else "")]
    if len(laid) != len(held) or sum(map(len, laid)) != sum(map(len, held)):
        parts.append(f"{say.plural(len(laid), 'group')} with dry fits")
    return say.capital(say.listed([*parts, say.plural(len(whole.loose), "loose piece")])) + "."


def _carried_words(join: Join, held: Carried) -> str:
    share = say.figure(round(held.share * 100))
    return (
        f"The join of {join.face_a.number} and {join.face_b.number} alone holds {say.mass(held.mass_g)} ({share} %). "
        "Support both sides when lifting."
    )


@excavation_panels.answer
def what_became_of_it(reader: Actor, record: Any) -> list[Panel]:
    """On the page of a dig: the casts that came of it."""
    if not isinstance(record, Excavation):
        return []
    casts = list(reads.casts_for_list(reader).filter(excavation=record).order_by("sort")[:100])
    return [Panel("What became of it?", "casts/panel_of_excavation.html", {"casts": casts})]


@name_corrected.answer
def casts_are_found_by_it(taxon: Taxon) -> list[str]:
    """Casts of this animal are found by its corrected name."""
    casts = list(Cast.objects.filter(taxon=taxon).select_related("taxon", "excavation__site"))
    for cast in casts:
        search.write("cast", cast.pk, cast.search_entries())
    return [f"{say.capital(say.plural(len(casts), 'cast'))} found by the new name."] if casts else []


@standing_of.answer
def in_care(reader: Actor, cast: Cast) -> list[Standing]:
    if cast.closed_as:
        return [Standing(f"{cast.number} is no longer in our care: {cast.closed_as}.", "quiet-one", rank=5)]
    return [Standing(f"{cast.number} is in our care.", "quiet-one", rank=90)]


@history_of.answer
def changes_of_a_cast(reader: Actor, record: Any) -> list[Event]:
    """Its descriptions, determinations and numbers; what another act tells of is not told twice."""
    if not isinstance(record, Cast):
        return []
    events = as_events(
        [c for c in map(_own, changes_of(record, LABELS, most=30)) if c.first or c.fields], "Description"
    )
    for d in record.determinations.all():
        sentence = f"Determined as {d}: {d.get_ground_display()}."
        events.append(Event(at=d.created_at, sentence=sentence, kind="exam", who=str(d.by or "")))
    olds = sorted(record.old_numbers.all(), key=lambda o: o.written_at)
    for old, new in zip(olds, [o.number for o in olds[1:]] + [record.number] * bool(olds), strict=True):
        events.append(Event(at=old.written_at, sentence=f"{old.number} became {new}.", kind="reg"))
    return events


def _own(change: Change) -> Change:
    return replace(change, fields=tuple(f for f in change.fields if f[0] not in TOLD_ELSEWHERE))


@bearer_of.answer
def casts_and_pieces(reader: Actor, text: str) -> list[Bearer]:
    try:
        found = reads.subject_of(reader, text)
    except NotFound:
        return []
    kind = "piece" if found.piece else "cast"
    return [
        Bearer(kind, str(found), found.cast.description, found.href, found.piece.pk if found.piece else found.cast.pk)
    ]


@todays_work.answer
def determinations_waiting(reader: Actor) -> list[Duty]:
    if not may(reader, "determination.accept"):
        return []
    rows = Determination.objects.filter(accepted=False, cast__taxon__isnull=True, cast__closed_as="").select_related(
        "cast", "taxon", "by", "proposed_by"
    )
    return [
        Duty(
            f"{d.cast.number} was determined as {d}: accept it or leave it.",
            d.cast.href,
            local(d.created_at).date(),
            number=d.cast.number,
            act="Read it",
        )
        for d in rows[:50]
        if may(reader, "determination.accept", d)
    ]
