"""Papers of this room: the mount sheet, the inspection sheet, the warning tag. Facts from reads."""

from __future__ import annotations

from typing import Any

from django.conf import settings

from catalog.ground import say
from catalog.ground.codes import code_address, code_svg
from catalog.ground.collection import collection
from catalog.ground.keeping import Draft
from catalog.ground.papers import Paper
from registry.mounts import reads
from registry.mounts.drawing import drawn_alone
from registry.mounts.reads.shown import Row, drawing_of, rows_of
from registry.mounts.rules import cautions
from registry.mounts.rules.inspections import SIGNS
from registry.places.reads import path_of

_FOLDER = "registry/mounts/papers"


def _family(mount: Any, name: str, sentence: str) -> dict[str, Any]:
    ours = collection()
    base = ours.label_address.strip().rstrip("/") or settings.BASE_ADDRESS
    return {
        "lang": "en",
        "page": "us-letter" if ours.letter_paper else "a4",
        "collection": {"name": ours.name, "code": ours.code, "address": ours.address.strip()},
        "paper": {"name": name},
        "number": mount.number,
        "code": code_address(base, mount.number),
        "sentence": sentence,
    }


def _on_it(mount: Any) -> str:
    return say.listed([str(row.thing) for row in mount.on_it]) or "nothing"


def _where(mount: Any) -> str:
    return ", ".join(p.name for p in path_of(mount.place)) if mount.place else "with its cast"


def _mind(mount: Any) -> list[str]:
    said = [cautions.LIFTING, cautions.LOADS]
    if mount.overhead or mount.holding != "standing":
        said.insert(0, cautions.OVERHEAD)
    return [" ".join(cautions.parted(c)) for c in said]


def mount_sheet(mount: Any) -> Draft:
    """Supports, loads and what is used of each, the order of taking down, people and gear."""
    loaded = reads.load_of(mount)
    carries = say.mass(loaded.now.mass_g) if loaded.now.mass_g else "what nobody weighed"
    facts = _family(mount, "Mount sheet", f"{mount.number}, {mount.name}, carries {carries}: {_on_it(mount)}.")
    facts |= {
        "mount": _mount_facts(mount),
        "rows": [_row(r) for r in rows_of(mount, loaded)],
        "notes": [*loaded.notes, *loaded.shown.notes] + ([loaded.shown.no_answer] if loaded.shown.no_answer else []),
        "cautions": _mind(mount),
        "signatures": [{"sentence": "Read before work at this mount.", "name": "", "capacity": "", "date": ""}],
    }
    pictures = {}
    if svg := drawing_of(mount, loaded):
        facts["drawing"] = "The supports and the load on each, as the table says"
        pictures["drawing.svg"] = drawn_alone(svg).encode()
    return Draft(
        "mount-sheet",
        mount.number,
        Paper(f"{_FOLDER}/mount_sheet.typ", facts, f"Mount sheet of {mount.number}", pictures),
    )


def _mount_facts(mount: Any) -> dict[str, Any]:
    word = next(iter(reads.words_of(mount)), None)
    said = f"{word.engineer}, {say.day(word.on)}: {word.get_says_display()}; {word.paper}" if word else "none on record"
    return {
        "kind": f"{mount.get_kind_display()}, {mount.get_holding_display()}",
        "where": _where(mount),
        "own_mass": say.mass(mount.mass_g),
        "maker": mount.maker or None,
        "touches": mount.touches or None,
        "overhead": "yes" if mount.overhead else "no",
        "stays": "not without its plan" if mount.stays else "yes",
        "people": str(mount.people_needed or ""),
        "gear": mount.gear,
        "inspect_by": say.day(mount.inspect_by) if mount.inspect_by else "",
        "closed": f"since {say.day(mount.closed_on)}" if mount.closed_on else None,
        "word": said,
        "plan": mount.plan,
    }


def _row(row: Row) -> dict[str, str]:
    s = row.support
    spot = f"{say.figure(s.x_mm)}, {say.figure(s.y_mm)}" + (f", {say.figure(s.z_mm)}" if s.z_mm is not None else "")
    return {
        "number": s.number,
        "spot": spot,
        "even": row.even,
        "worst": row.worst,
        "may": row.may or "not known",
        "use": row.use,
        "verdict": row.verdict,
        "source": s.capacity_source,
        "into": " · ".join(p for p in (s.fixed_into, s.assessed_by) if p),
    }


def inspection_sheet(mount: Any) -> Draft:
    """Boxes for a pencil at the mount, support by support; written into the record afterwards."""
    last = mount.inspections.order_by("-on", "-pk").first()
    before = f" Last inspected {say.day(last.on)}." if last else " Nobody has inspected it before."
    facts = _family(mount, "Inspection sheet", f"{mount.number}, {mount.name}, with {_on_it(mount)} on it.{before}")
    facts |= {
        "rows": [{"number": s.number, "into": s.fixed_into, "was": s.get_state_display()} for s in mount.standing],
        "signs": list(SIGNS.values()),
        "where": _where(mount),
        "due": say.day(mount.inspect_by) if mount.inspect_by else "",
        "cautions": _mind(mount)[:-1],
        "signatures": [{"sentence": "Inspected as ticked above.", "name": "", "capacity": "", "date": ""}],
    }
    title = f"Inspection sheet of {mount.number}"
    return Draft("inspection-sheet", mount.number, Paper(f"{_FOLDER}/inspection_sheet.typ", facts, title))


def warning_tag(mount: Any) -> Draft:
    """A tag of A6 that hangs on the mount: what it bears, that it is not to be moved, how many people it takes."""
    loaded = reads.load_of(mount)
    facts = _family(mount, "Warning tag", "")
    facts |= {
        "says": _warning(mount),
        "bears": _on_it(mount),
        "mass": say.mass(loaded.now.mass_g) if loaded.now.mass_g else "not weighed",
        "people": str(mount.people_needed or ""),
        "gear": mount.gear,
        "inspect_by": say.day(mount.inspect_by) if mount.inspect_by else "",
        "reach": collection().reach_us,
    }
    pictures = {"code.svg": code_svg(facts["code"]).encode()}
    title = f"Warning tag of {mount.number}"
    return Draft("warning-tag", mount.number, Paper(f"{_FOLDER}/warning_tag.typ", facts, title, pictures))


def _warning(mount: Any) -> str:
    if mount.closed_on:
        return "Closed: a support has failed. Keep out."
    if mount.stays:
        return "Not to be moved without its plan."
    return "Nobody stands under it." if mount.overhead else "Mind the supports. Move it by its sheet."
