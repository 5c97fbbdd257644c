"""Papers of this room: the list of a planned move, the slip that stays in the empty place. Facts from reads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.conf import settings

from catalog.casts.subject import Subject
from catalog.ground import say
from catalog.ground.codes import code_address, code_svg
from catalog.ground.collection import collection, local, with_code
from catalog.ground.keeping import Draft
from catalog.ground.papers import Paper
from catalog.ground.roles import Actor
from registry.places import reads
from registry.places.models import Movement, Place

_FOLDER = "registry/places/papers"


def _family(name: str, sentence: str) -> dict[str, Any]:
    ours = collection()
    return {
        "lang": "en",
        "page": "us-letter" if ours.letter_paper else "a4",
        "collection": {"name": ours.name, "code": ours.code, "address": ours.address.strip()},
        "paper": {"name": name},
        "sentence": sentence,
    }


def _code(number: str) -> str:
    base = collection().label_address.strip().rstrip("/") or settings.BASE_ADDRESS
    return code_address(base, number)


def _shown(what: Subject | Place) -> str:
    """`TH 2016.1.3` once it has its number; a container by its code."""
    if isinstance(what, Place):
        return what.code
    return with_code(str(what)) if what.cast.year else str(what)


def _title(what: Subject | Place) -> str:
    return what.name if isinstance(what, Place) else what.cast.description


def _path(place: Place | None) -> str:
    return ", ".join(p.name for p in reads.path_of(place)) if place else "not known"


# removal slip


def removal_slip(reader: Actor, moved: Movement) -> Draft:
    """What stays in the empty place: what went, where to, by whom, when, until when."""
    what, to = reads.subject_of_move(moved), moved.to_place
    slip = {
        "number": _shown(what),
        "code": _code(str(what)),
        "file": "code-0.svg",
        "what": _title(what),
        "from": _path(moved.from_place),
        "to": reads.where_words_long(to).split(" ", 1)[1] if to else "out of the house",
        "by": reads.who_moved(moved),
        "on": f"{say.day(local(moved.at).date())}, {local(moved.at):%H:%M}",
    }
    if moved.because:
        slip["reason"] = moved.because
    if moved.back_on:
        slip["back_by"] = say.day_long(moved.back_on)
    facts = _family("Removal slip", "") | {"slips": [slip]}
    pictures = {slip["file"]: code_svg(slip["code"]).encode()}
    title = f"Removal slip for {what}"
    return Draft("removal-slip", str(moved.uid), Paper(f"{_FOLDER}/removal_slip.typ", facts, title, pictures))


# movement list


@dataclass(frozen=True)
class Plan:
    """A planned move: what, in this order, where to; the rest in words, as far as anybody said."""

    things: Sequence[Subject | Place]
    to: Place
    on: str = ""
    because: str = ""
    led_by: str = ""
    route: str = ""


def movement_list(reader: Actor, plan: Plan) -> Draft:
    """What goes, its mass, from where to where, to be ticked on the way."""
    where = reads.where_is([t for t in plan.things if isinstance(t, Subject)])
    rows = [_row(reader, n, thing, plan.to, where) for n, thing in enumerate(plan.things, 1)]
    grams = [row.pop("grams") for row in rows]
    n = len(rows)
    sentence = f"{say.capital(say.plural(n, 'thing'))} {'goes' if n == 1 else 'go'} to {plan.to.code} in this order."
    facts = _family("Movement list", sentence) | {
        "move": {k: v for k, v in _plan_facts(plan).items() if v is not None},
        "rows": rows,
        "totals": _totals(grams),
        "number": plan.to.code,
        "code": _code(plan.to.code),
        "signatures": [
            {"sentence": "Moved as ticked above.", "name": "", "capacity": "", "date": ""},
            {"sentence": "Places written into the record.", "name": "", "capacity": "", "date": ""},
        ],
    }
    about = f"{plan.to.code} from {', '.join(str(t) for t in plan.things)}"[:60]
    title = f"Movement list to {plan.to.code}"
    return Draft("movement-list", about, Paper(f"{_FOLDER}/movement_list.typ", facts, title))


def _plan_facts(plan: Plan) -> dict[str, str | None]:
    casts = {t.cast.pk: t.cast for t in plan.things if isinstance(t, Subject)}.values()
    minds = [f"{c.number}: {c.handling or 'fragile'}" for c in casts if c.fragile or c.handling]
    return {
        "on": plan.on,
        "reason": plan.because or None,
        "led_by": plan.led_by,
        "route": plan.route or "",
        "cautions": "\n".join(minds[:8]) or None,
    }


def _row(
    reader: Actor, order: int, thing: Subject | Place, to: Place, where: dict[Subject, list[Place]]
) -> dict[str, Any]:
    row: dict[str, Any] = {"order": order, "number": _shown(thing), "what": _title(thing), "to": to.code}
    if isinstance(thing, Place):
        much = reads.sum_in(reader, thing)
        if much.n_casts:
            row["what"] += f", with {say.plural(much.n_pieces, 'piece', words=False)}"
        row["from"], row["grams"] = thing.parent.code if thing.parent else "", much.mass_g
    else:
        path = where.get(thing) or []
        row["from"] = path[-1].code if path else ""
        row["grams"] = thing.piece.mass_g if thing.piece else thing.cast.mass_g
    if row["grams"] is not None:
        row["mass"] = say.mass(row["grams"])
    return row


def _totals(grams: list[Decimal | None]) -> str:
    weighed = [g for g in grams if g is not None]
    said = [say.plural(len(grams), "thing", words=False)]
    if weighed:
        said.append(f"{say.mass(sum(weighed, Decimal(0)))} weighed")
    if len(weighed) < len(grams):
        said.append(f"{len(grams) - len(weighed)} not weighed")
    return ", ".join(said)
