"""On the pages of casts, pieces and places: the mount, and what it asks for; in their histories: put on, taken off."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Any

from django.utils import timezone

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Standing, Subject, panels, piece_panels, standing_of
from catalog.ground.asks import Event, Panel, history_of
from catalog.ground.collection import today, zone
from catalog.ground.past import as_events, changes_of
from catalog.ground.roles import Actor, may
from registry.mounts import reads
from registry.mounts.models import Mount
from registry.mounts.reads.mounts import mounted_rows
from registry.mounts.rules import mounts as rules
from registry.places.asks import place_panels
from registry.places.models import Place
from registry.places.reads import kept_on, words_of


@panels.answer
def its_mount(reader: Actor, cast: Cast) -> list[Panel]:
    return _panel(reader, Subject(cast))


@piece_panels.answer
def the_pieces_mount(reader: Actor, piece: Piece) -> list[Panel]:
    return _panel(reader, Subject(piece.cast, piece))


def _panel(reader: Actor, what: Subject) -> list[Panel]:
    if not may(reader, "record.read"):
        return []
    on = _mounts_on_page(what)
    closed = bool(what.cast.closed_as)
    may_mount = may(reader, "mount.write") and not on and not closed and (what.piece is None or what.piece.present)
    if not on and not may_mount:
        return []
    facts = {"what": what, "mounts": [_shown(m) for m in on], "may_mount": may_mount, "today": today()}
    return [Panel("where", "mounts/panel.html", facts, 30)]


def _mounts_on_page(what: Subject) -> list[Mount]:
    record: Any = what.piece or what.cast
    found = kept_on(record, "mounts", lambda: [m for _, m in reads.mounts_of_any([what])])
    return list({m.pk: m for m in found}.values())


def _shown(mount: Mount) -> dict[str, Any]:
    below = words_of(mount.closes) if mount.closes else ""
    shut = rules.closed(mount.number, mount.closed_on, below) if mount.closed_on else ""
    late = mount.inspect_by is not None and mount.inspect_by < today()
    return {"row": mount, "shut": shut, "late": late}


@standing_of.answer
def standing_on_its_mount(reader: Actor, cast: Cast) -> list[Standing]:
    """A failed support before all else; then that it is not to be moved."""
    for mount in _mounts_on_page(Subject(cast)):
        if mount.closed_on is not None:
            act = {"label": f"Look at {mount.number}", "href": mount.href}
            return [Standing(str(_shown(mount)["shut"]), "harm", acts=(act,), rank=5)]
    return []


@place_panels.answer
def the_mount_that_it_is(reader: Actor, place: Place) -> list[Panel]:
    """The page of a frame leads to what carries it; the page of a closed space says why."""
    if not may(reader, "record.read"):
        return []
    mount = Mount.objects.filter(place=place).first()
    shut = [_shown(m) for m in reads.closed_places(place)]
    return [Panel("", "mounts/place_panel.html", {"mount": mount, "shut": shut}, 20)] if mount or shut else []


# histories


def _at(on: date) -> datetime:
    return min(datetime.combine(on, time(12), tzinfo=zone()), timezone.now())


@history_of.answer
def put_on_and_taken_off(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, (Cast, Piece)) or not may(reader, "record.read"):
        return []
    which = {"piece": record} if isinstance(record, Piece) else {"cast": record}
    found = []
    for row in mounted_rows().select_related("mount").filter(**which):
        what = f"Piece {row.piece.suffix} put" if row.piece and isinstance(record, Cast) else "Put"
        found.append(Event(_at(row.on), f"{what} on {row.mount.number}.", "mend", str(row.by or ""), row.mount.href))
        if row.off_on:
            taken = f"Taken off {row.mount.number}: {row.off_words}."
            found.append(Event(_at(row.off_on), taken, "mend", str(row.off_by or ""), row.mount.href))
    return found


@history_of.answer
def past_of_a_mount(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Mount) or not may(reader, "record.read"):
        return []
    found = [_inspected(i) for i in reads.inspections(reader).filter(mount=record).order_by("-on", "-pk")[:50]]
    for word in reads.words_of(record):
        sentence = f"{word.engineer}, {word.qualification}: {word.get_says_display()}."
        found.append(Event(_at(word.on), sentence, "reg", word.engineer))
    for row in reads.mounted_on(record):
        found.append(Event(_at(row.on), f"{row.thing} put on.", "move", str(row.by or ""), row.thing.href))
        if row.off_on:
            found.append(
                Event(_at(row.off_on), f"{row.thing} taken off: {row.off_words}.", "move", str(row.off_by or ""))
            )
    return found + as_events(changes_of(record, _LABELS, most=20), "Mount")


def _inspected(row: Any) -> Event:
    bad = [f"{f.support.number} {f.get_state_display()}" for f in row.found.all() if f.state != "sound"]
    sentence = f"Inspected: {', '.join(bad)}." if bad else "Inspected: all sound."
    return Event(
        _at(row.on),
        sentence,
        "break" if any(f.state == "fail" for f in row.found.all()) else "exam",
        str(row.by),
        row.href,
    )


_LABELS = {
    "name": "name",
    "kind": "kind",
    "holding": "how it carries",
    "overhead": "whether it is overhead",
    "stays": "whether it may be moved",
    "mass_g": "own mass, g",
    "closes": "what lies below",
    "plan": "plan of taking down",
    "inspect_months": "inspection interval, months",
    "inspect_by": "next inspection",
    "closed_on": "closed on",
    "note": "note",
    "altered_at": "what carries it",
}
