"""The list of mounts, and one of them: drawing, loads, what is on it, who looked."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe

from catalog.ground.asks import history_of
from catalog.ground.collection import today
from catalog.ground.http import Asked, page
from catalog.ground.lists import Column, Facet, export, list_of
from registry.mounts import reads
from registry.mounts.drawing import key_of
from registry.mounts.filters import MountFilter
from registry.mounts.models import Mount
from registry.mounts.reads.shown import Row, drawing_of, rows_of, spots_of
from registry.mounts.rules import cautions
from registry.mounts.rules import mounts as rules
from registry.places.reads import words_of

SORTS = {"number": "sort", "due": "inspect_by", "name": "name"}
COLUMNS = [
    Column("number", lambda m: m.number),
    Column("name", lambda m: m.name),
    Column("kind", lambda m: m.kind),
    Column("holding", lambda m: m.holding),
    Column("overhead", lambda m: m.overhead),
    Column("not_to_be_moved", lambda m: m.stays),
    Column("place", lambda m: m.place.code if m.place else ""),
    Column("on_it", lambda m: ", ".join(str(row.thing) for row in m.on_it)),
    Column("own_mass_g", lambda m: m.mass_g),
    Column("inspect_by", lambda m: m.inspect_by.isoformat() if m.inspect_by else ""),
    Column("closed_on", lambda m: m.closed_on.isoformat() if m.closed_on else ""),
    Column("uid", lambda m: str(m.uid)),
]


@page("record.read")
def mounts(request: Asked) -> HttpResponse:
    """All mounts: what is on each, over-loaded supports, when it is due."""
    facets = [
        Facet("kind", "kind", "What kind?", dict(Mount.KINDS)),
        Facet("holding", "holding", "How does it carry?", dict(Mount.HOLDINGS)),
    ]
    listing = list_of(request, reads.mounts(request.actor), MountFilter, sorts=SORTS, sort="number", facets=facets)
    if kind := request.GET.get("format"):
        return export(listing.rows, COLUMNS, kind, "mounts")  # type: ignore[return-value]
    shown = list(listing.page)
    loads = reads.loads_of(shown)
    rows = [{"row": m, "over": loads[m.pk].shown.over, "late": _late(m)} for m in shown]
    return render(request, "mounts/mounts.html", {"listing": listing, "rows": rows})


def _late(mount: Mount) -> bool:
    return mount.inspect_by is not None and mount.inspect_by < today()


@page("record.read")
def mount(request: Asked, number: str) -> HttpResponse:
    """One mount. `?without=2`: the loads if support 2 were gone."""
    found = reads.mount_at(request.actor, number)
    thought_away = request.GET.getlist("without")[:24]
    loaded = reads.load_of(found, leave_out=thought_away)
    spots = spots_of(found, loaded)
    past = sorted(history_of(request.actor, found), key=lambda e: e.at, reverse=True)
    facts = (
        _facts(found, loaded, rows_of(found, loaded))
        | {
            "drawing": mark_safe(drawing_of(found, loaded)),  # every word in it is escaped where it is drawn
            "key": [(mark_safe(svg), word) for svg, word in key_of(spots, centre=loaded.shown.centre_mm is not None)],
            "thought_away": [n for n in thought_away if n in {s.number for s in found.standing}],
            "inspections": list(reads.inspections(request.actor).filter(mount=found).order_by("-on", "-pk")[:5]),
            "words": reads.words_of(found)[:5],
            "past": past[:12],
        }
    )
    return render(request, "mounts/mount.html", facts)


def _facts(found: Any, loaded: reads.Loaded, rows: list[Row]) -> dict[str, Any]:
    below = words_of(found.closes) if found.closes else ""
    return {
        "mount": found,
        "loaded": loaded,
        "shown": loaded.shown,
        "rows": rows,
        "notes": [*loaded.notes, *loaded.shown.notes],
        "over": loaded.shown.over,
        "shut": rules.closed(found.number, found.closed_on, below) if found.closed_on else "",
        "late": _late(found),
        "waits": found.overhead and bool(found.on_it) and not reads.word_holds(found),
        "gone": [row for row in reads.mounted_on(found) if row.off_on][:10],
        "cautions": cautions_of(found),
    }


def cautions_of(found: Mount) -> list[dict[str, str]]:
    """Lifting beside every mount, overhead where it is; loads are never a design."""
    said = [("carry", cautions.LIFTING), ("caution", cautions.LOADS)]
    if found.overhead or found.holding != "standing":
        said.insert(0, ("caution", cautions.OVERHEAD))
    return [{"icon": icon, "strong": cautions.parted(c)[0], "text": cautions.parted(c)[1]} for icon, c in said]
