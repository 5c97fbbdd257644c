"""Every door of the house, found by walking the addresses: which act it names, and samples of real numbers for its parts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.urls import get_resolver

# addresses that open by a secret in themselves, or are no page of ours
_SECRET = {"token": "x" * 32}


@dataclass(frozen=True)
class Door:
    """One address: its route, the act it names by method, the names of its parts."""

    route: str
    acts: dict[str, str]
    parts: tuple[str, ...]
    api: bool
    view: Any = None

    def address(self, parts: dict[str, Any]) -> str:
        """The address with its parts filled in."""
        route = re.sub(r"\(\?P<(\w+)>[^)]*\)", r"<\1>", self.route).replace("^", "").replace("$", "")
        for name in self.parts:
            route = re.sub(rf"<(?:\w+:)?{name}>", str(parts[name]), route)
        return "/" + route


def doors() -> list[Door]:
    """All doors. One without an act is a failure of the crawl."""
    return list(_walk(get_resolver().url_patterns, ""))


def _walk(patterns: Any, before: str) -> Iterator[Door]:
    for pattern in patterns:
        route = before + str(pattern.pattern)
        if hasattr(pattern, "url_patterns"):
            yield from _walk(pattern.url_patterns, route)
            continue
        view = pattern.callback
        cls = getattr(view, "cls", None)
        acts = dict(cls.acts) if cls is not None and hasattr(cls, "acts") else {}
        if cls is not None:
            methods = {m.upper() for m in (getattr(view, "actions", None) or {})}
            acts = {m: a for m, a in acts.items() if m in methods} or acts
        if act := getattr(view, "act", None):
            acts = {"GET": act, "POST": act}
        parts = tuple(re.findall(r"<(?:\w+:)?(\w+)>", re.sub(r"\(\?P<(\w+)>[^)]*\)", r"<\1>", route)))
        yield Door(route, acts, parts, route.startswith("api/"), cls)


def samples() -> dict[str, dict[str, Any]]:
    """By the first noun of an address: real numbers of the demo. A new noun with parts needs a line here."""
    from catalog.casts.models import BreakFace, Cast, CrumbLot, Determination, Join, Piece, RefusedFit
    from catalog.excavations.models import Bag, Excavation, MaterialLot, Permit, Site
    from catalog.ground.models import Paper
    from catalog.measurements.models import BalanceReading, Calibration, Instrument, Measurement
    from catalog.media.models import Annotation, Document, Photograph
    from catalog.people.models import Account, Person
    from catalog.taxa.models import Taxon
    from registry.accessions.models import Entry, EntryObject, Exit, LedgerLine
    from registry.condition.models import Examination, Incident, Restriction
    from registry.mounts.models import Mount, Mounted, MountInspection, Support
    from registry.places.models import Movement, Place, TrayList, TrayRow

    piece = Piece.objects.select_related("cast").order_by("pk").first()
    open_cast = EntryObject.objects.filter(state="entered").select_related("cast").order_by("pk").first()
    determination = Determination.objects.select_related("cast").first()
    account = Account.objects.exclude(name="Imke Roodenburg").first()

    def uid(model: Any) -> str:
        found = model.objects.first()
        return str(found.uid) if found else "0197c3a0-5b1e-7c3a-9f00-2d4c6b8a0e11"

    def pk(model: Any) -> int:
        found = model.objects.first()
        return found.pk if found else 1

    def text(model: Any, name: str) -> str:
        found = model.objects.first()
        return getattr(found, name) if found else "X-1"

    return {
        "casts": {
            "number": piece.cast.number,
            "suffix": piece.suffix,
            "version": 1,
            "pk": determination.pk if determination else 1,
            "open": open_cast.cast.number if open_cast else "",
        },
        "pieces": {"number": piece.number},
        "faces": {"pk": pk(BreakFace), "number": uid(BreakFace)},
        "joins": {"pk": pk(Join), "number": uid(Join)},
        "refused-fits": {"number": uid(RefusedFit)},
        "crumb-lots": {"pk": pk(CrumbLot), "number": uid(CrumbLot)},
        "entries": {"number": text(Entry, "number")},
        "exits": {"number": text(Exit, "number")},
        "excavations": {"number": text(Excavation, "number"), "pk": 1},
        "sites": {"pk": pk(Site), "number": uid(Site)},
        "permits": {"pk": pk(Permit), "number": uid(Permit)},
        "material-lots": {"code": text(MaterialLot, "code"), "number": text(MaterialLot, "code")},
        "bags": {"code": text(Bag, "code"), "number": text(Bag, "code")},
        "taxa": {"pk": pk(Taxon), "number": uid(Taxon)},
        "people": {"pk": account.person_id if account else pk(Person), "leave": 1, "number": uid(Person)},
        "places": {"code": text(Place, "code"), "number": text(Place, "code")},
        "trays": {"code": TrayList.objects.latest("pk").tray.code if TrayList.objects.exists() else "T-9"},
        "tray-rows": {"number": text(TrayRow, "row")},
        "instruments": {"code": text(Instrument, "code"), "number": text(Instrument, "code")},
        "calibrations": {"number": uid(Calibration)},
        "weighings": {"number": uid(Measurement)},
        "readings": {"number": uid(BalanceReading)},
        "movements": {"pk": pk(Movement), "number": uid(Movement)},
        "mounts": {"number": text(Mount, "number"), "support": text(Support, "number"), "pk": pk(Mounted)},
        "supports": {"number": uid(Support)},
        "mounted": {"number": uid(Mounted)},
        "inspections": {"pk": pk(MountInspection), "number": uid(MountInspection)},
        "examinations": {"pk": pk(Examination), "other": pk(Examination), "number": uid(Examination)},
        "incidents": {"number": text(Incident, "number")},
        "restrictions": {"pk": pk(Restriction), "number": uid(Restriction)},
        "photographs": {"uid": uid(Photograph), "number": uid(Photograph), "size": "thumb"},
        "marks": {"pk": pk(Annotation)},
        "annotations": {"number": uid(Annotation)},
        "documents": {"uid": uid(Document), "number": uid(Document)},
        "register": {"line": pk(LedgerLine), "n": 1, "number": 1, "kind": "extract", "name": "proof.txt"},
        "papers": {"number": text(Paper, "number")},
        "q": {"number": Cast.objects.first().number},
        "help": {"kind": "not-found"},
        "me": {"pk": 1},
        "settings": {"pk": 1},
        "sign-in": _SECRET,
        "invitation": _SECRET,
    }


def address_of(door: Door, known: dict[str, dict[str, Any]]) -> str:
    """The door's address with real numbers. A KeyError says which line `samples` lacks."""
    bare = door.route.replace("api/v1/", "").replace("^", "")
    noun = re.split(r"[/<(]", bare)[0]
    parts = known.get(noun, {})
    generic = {"number": "0197c3a0-5b1e-7c3a-9f00-2d4c6b8a0e11", "pk": 1, "uid": "0197c3a0-5b1e-7c3a-9f00-2d4c6b8a0e11"}
    return door.address({name: parts.get(name, generic.get(name)) for name in door.parts})
