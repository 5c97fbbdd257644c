"""What the page of a dig shows: standing, the ground, the questions, what happened."""

from __future__ import annotations

from typing import Any

from django.utils.safestring import SafeString, mark_safe

from catalog.excavations import drawing, reads, rules
from catalog.excavations.asks import excavation_panels
from catalog.excavations.coordinates import FORMS, shown_as
from catalog.excavations.models import ExactPlace, Excavation, Lift
from catalog.excavations.placing import cell_side_deg
from catalog.ground import say
from catalog.ground.asks import history_of
from catalog.ground.roles import Actor, may

_NEWEST = 12


def dig_facts(reader: Actor, dig: Excavation, door: str) -> dict[str, Any]:
    """Everything the page of a dig needs; the number of queries does not grow with its lifts, bags and pours."""
    lifts = list(reads.lifts(reader).filter(excavation=dig).order_by("n"))
    past = sorted(history_of(reader, dig), key=lambda e: e.at, reverse=True)
    notes = reads.notes_on(dig)
    return {
        "dig": dig,
        "people": list(dig.people.all()),
        "pours": list(reads.pours(reader).filter(excavation=dig).order_by("n")),
        "lifts": lifts,
        "notes": notes,
        "standing": standing(dig, notes),
        "ground": _ground(dig, lifts),
        "place": place_facts(reader, dig) | _exact(reader, dig, door),
        "panels": excavation_panels(reader, dig),
        "past": past[:_NEWEST],
        "older": len(past) > _NEWEST,
    }


def standing(dig: Any, notes: list[rules.LeaveNote]) -> dict[str, Any]:
    """Where it stands in one sentence: outside its permit, bags open, something missing, or all well."""
    firm = [note.sentence for note in notes if note.firm]
    if firm and not dig.permit_exception:
        return {"say": " ".join(firm), "state": "harm"}
    lacks = rules.lacks_of_dig(day=dig.dug_on, people=bool(dig.people.all()), placed=reads.is_placed(dig))
    bags = rules.bag_sentence(dig.n_bags, dig.n_open)
    if lacks:
        return {"say": f"It has {say.listed(lacks)} yet.", "state": "wants", "small": bags}
    leave = "Recorded outside its permit, with the reason." if firm else "All inside the permit." if dig.permit else ""
    return {
        "say": " ".join(s for s in (leave, bags) if s) or "Written.",
        "state": "wants" if dig.n_open else "quiet-one",
    }


def _ground(dig: Excavation, lifts: list[Lift]) -> SafeString:
    drawn = [drawing.Drawn(f"lift {x.n}", _cm(x.from_cm), _cm(x.to_cm)) for x in lifts]
    return mark_safe(drawing.ground(drawn, _cm(dig.depth_cm)))


def _cm(value: Any) -> float | None:
    return None if value is None else float(value)


def place_facts(reader: Actor, dig: Excavation) -> dict[str, Any]:
    """What all who work here read of the place."""
    category = dig.site.category if dig.site else None
    return {
        "placed": reads.is_placed(dig),
        "shown": dig.shown_lat is not None,
        "kept_back": category != "none",
        "side_deg": cell_side_deg(category),
        "may_exact": may(reader, "site.exact"),
    }


def _exact(reader: Actor, dig: Excavation, door: str) -> dict[str, Any]:
    """The exact place with its sketch, for who may know it; the read is logged."""
    if not may(reader, "site.exact"):
        return {}
    others = list(Excavation.objects.filter(site=dig.site).select_related("site")) if dig.site else [dig]
    known = reads.exact_places(reader, others, door)
    place = known.pop(dig.pk, None)
    if place is None:
        return {}
    here = _point(place, dig.number)
    around = [_point(other, "") for other in known.values()]
    return {"exact": place, "forms": _in_forms(place), "sketch": mark_safe(drawing.sketch(here, around))}


def _point(place: ExactPlace, name: str) -> drawing.Point:
    return drawing.Point(float(place.lat), float(place.lon), place.within_m, name)


def _in_forms(place: ExactPlace) -> list[tuple[str, str]]:
    """The same point in the other ways of writing; the grids end near the poles."""
    written = []
    for form in FORMS:
        try:
            written.append((form, shown_as(float(place.lat), float(place.lon), form, place.within_m)))
        except ValueError:
            continue
    return written
