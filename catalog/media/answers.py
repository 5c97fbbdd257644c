"""What photographs and papers answer when the house asks."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from catalog.casts.lists import thumbnails
from catalog.casts.models import Cast, Piece
from catalog.casts.subject import panels
from catalog.excavations.asks import excavation_panels
from catalog.excavations.models import Excavation, Permit
from catalog.ground.asks import Duty, Event, Panel, due_jobs, history_of, todays_work
from catalog.ground.past import as_events, changes_of
from catalog.ground.roles import HEADS, HOUSE, Actor, may
from catalog.media import actions, reads
from catalog.media.models import Document, Photograph
from catalog.media.outlines import outline_for

_MOST_EVENTS = 30


@panels.answer
def picture(reader: Actor, cast: Cast) -> list[Panel]:
    """The first picture, how many more there are, and the way to take one."""
    shown = list(reads.photographs_of(reader, cast).select_related(None)[:200])
    facts = {
        "photograph": shown[0] if shown else None,
        "n_more": len(shown) - 1 if shown else 0,
        "outline": outline_for(cast.nest_form),
        "may_add": may(reader, "photo.add") and not cast.closed_as,
    }
    return [Panel("picture", "media/panel_picture.html", facts)]


@panels.answer
def papers(reader: Actor, cast: Cast) -> list[Panel]:
    found = list(reads.papers_of(reader, cast))
    facts = {"papers": found, "may_add": may(reader, "cast.describe") and not cast.closed_as, "href": cast.href}
    return [Panel("is", "media/panel_papers.html", facts, 80)]


@excavation_panels.answer
def beside_a_dig(reader: Actor, of: Excavation | Permit) -> list[Panel]:
    """Photographs and papers of an excavation; papers of a permit."""
    found = list(
        reads.documents(reader).filter(**{"permit" if isinstance(of, Permit) else "excavation": of}).order_by("pk")
    )
    if isinstance(of, Permit):
        facts = {"papers": found, "may_add": may(reader, "permit.write"), "href": f"/permits/{of.pk}/", "headed": True}
        return [Panel("Papers on record", "media/panel_papers.html", facts, 80)]
    href, shots = f"/excavations/{of.number}/", list(reads.photographs_of(reader, of)[:200])
    pictures = {"photographs": shots[:6], "n": len(shots), "href": href, "may_add": may(reader, "photo.add")}
    papers = {"papers": found, "may_add": may(reader, "cast.describe"), "href": href, "headed": True}
    return [
        Panel("Photographs", "media/panel_dig.html", pictures, 70),
        Panel("Papers on record", "media/panel_papers.html", papers, 80),
    ]


@thumbnails.answer
def first_pictures(reader: Actor, casts: list[Cast]) -> list[tuple[int, str]]:
    return [(pk, f"/photographs/{uid}/thumb.jpg") for pk, uid in reads.first_pictures(reader, casts)]


@history_of.answer
def photographs_and_papers(reader: Actor, record: Any) -> list[Event]:
    """On a cast, a piece or an excavation: what was photographed and put on record."""
    name = {Cast: "cast", Piece: "piece", Excavation: "excavation"}.get(type(record))
    if name is None or not may(reader, "history.read"):
        return []
    return _photographed(record, name) + (_on_record(record, name) if name != "piece" else [])


def _photographed(record: Any, name: str) -> list[Event]:
    rows = Photograph.objects.filter(**{name: record}).select_related("piece__cast", "created_by__person")
    events = []
    for p in rows.order_by("-pk")[:_MOST_EVENTS]:
        href = f"/photographs/{p.uid}/"
        what = ", ".join(x for x in (f"of piece {p.piece}" if p.piece and name == "cast" else "", p.view) if x)
        events.append(Event(p.created_at, f"Photographed{', ' + what if what else ''}.", "exam", _who(p), href))
        if p.withdrawn_on:
            events.append(Event(p.changed_at, f"Photograph taken off: {p.withdrawn_why}.", "exam", "", href))
    return events


def _on_record(record: Any, name: str) -> list[Event]:
    rows = Document.objects.filter(**{name: record}).select_related("created_by__person").order_by("-pk")
    return [
        Event(
            d.created_at, f"Paper on record: {d.get_kind_display()}, {d.what}.", "reg", _who(d), f"/documents/{d.uid}/"
        )
        for d in rows[:_MOST_EVENTS]
    ]


def _who(record: Any) -> str:
    return str(record.created_by.person) if record.created_by else ""


@history_of.answer
def changes_of_a_photograph(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Photograph) or not may(reader, "history.read"):
        return []
    return as_events(changes_of(record, LABELS, most=_MOST_EVENTS), "Photograph")


LABELS = {
    "view": "view",
    "has_scale": "scale",
    "of_label": "of a label",
    "shows_place": "shows the place",
    "caption": "caption",
    "rights": "rights",
    "by": "by",
    "rank": "place among the pictures",
    "withdrawn_on": "taken off on",
    "withdrawn_why": "why it was taken off",
}


@todays_work.answer
def damaged_files(reader: Actor) -> list[Duty]:
    """An alarm for the registrar and the keeper, and for nobody else: they can look for a copy."""
    if not reader.roles & HEADS:
        return []
    return [
        Duty(
            f"The file of the {one.words} does not stand any more. Look for it in a copy.",
            one.href,
            weight="late",
            act="Open it",
        )
        for one in reads.damaged_now()
    ]


@due_jobs.answer
def nightly(day: date) -> list[tuple[str, Callable[[], None]]]:
    """A thirtieth of the files is read again each night; what nobody names goes after its time."""
    return [("verify files", _verify), ("sweep", _sweep)]


def _verify() -> None:
    actions.check_files(HOUSE, reads.longest_unchecked())


def _sweep() -> None:
    actions.sweep()
