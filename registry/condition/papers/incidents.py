"""The insurance note: what happened, when, in whose hands, into what it broke, who was told."""

from __future__ import annotations

from typing import Any

from django.conf import settings

from catalog.casts.models import Cast
from catalog.ground import figures, say
from catalog.ground.codes import code_address
from catalog.ground.collection import collection, local, with_code
from catalog.ground.edtf import in_words
from catalog.ground.keeping import Draft
from catalog.ground.papers import Paper
from catalog.ground.roles import Actor
from catalog.media.files import derivative
from registry.condition.models import Incident
from registry.condition.reads import breakages as broken
from registry.condition.reads import incidents as reads
from registry.condition.rules.incidents import loose_words
from registry.places.reads import where_words_long

_MOST_PICTURES = 4
_TEMPLATE = "registry/condition/papers/insurance_note.typ"


def insurance_note(reader: Actor, incident: Incident) -> Draft:
    """What the insurer is told before anything is mended; no map of the store, no value."""
    ours, subjects = collection(), list(incident.subjects.all())
    base = ours.label_address.strip().rstrip("/") or settings.BASE_ADDRESS
    first = subjects[0]
    facts: dict[str, Any] = {
        "lang": "en",
        "page": "us-letter" if ours.letter_paper else "a4",
        "collection": {"name": ours.name, "code": ours.code, "address": ours.address.strip()},
        "paper": {"name": "Insurance note"},
        "sentence": _sentence(incident),
        "number": _number(first.cast, first.number),
        "code": code_address(base, first.number),
        "incident": {k: v for k, v in _incident(incident).items() if v},
        "things": [_thing(s) for s in subjects],
        "bodies": [_body(told) for told in broken.told_of(incident)],
        "joins": [str(f.join) for f in incident.failed_joins.all()],
        "signatures": [
            {"sentence": "What is said here is what was found and recorded.", "name": "", "capacity": "", "date": ""},
            {"sentence": "Received for the insurer.", "name": "", "capacity": "", "date": ""},
        ],
    }
    if broken.has_loose(incident):
        facts["loose"] = loose_words(incident.loose.n, incident.loose.mass_g)
    facts["pictures"], files = _pictures(incident)
    title = f"Insurance note {incident.number}"
    return Draft("insurance-note", incident.number, Paper(_TEMPLATE, facts, title, files))


def _number(cast: Cast, number: str) -> str:
    return with_code(number) if cast.year else number


def _sentence(incident: Incident) -> str:
    if incident.taken_back_on:
        return f"{incident.number} was taken back on {say.day(incident.taken_back_on)}: it was recorded wrongly."
    return f"{say.capital(reads.title_of(incident))}, noticed on {say.day(incident.noticed_on)} ({incident.number})."


def _incident(incident: Incident) -> dict[str, str]:
    hour = f", {local(incident.noticed_at):%H:%M}" if incident.noticed_at else ""
    return {
        "number": incident.number,
        "noticed": f"{say.day(incident.noticed_on)}{hour}",
        "by": str(incident.noticed_by or ""),
        "happened": in_words(incident.happened_on) if incident.happened_on else "",
        "how": say.capital(incident.get_how_display()) if incident.how else "",
        "note": incident.note,
        "measures": incident.measures,
        "told": incident.told,
        "searched": incident.searched,
        "pictures": say.plural(len(incident.pictures.all()), "photograph") if incident.pictures.all() else "",
    }


def _thing(subject: Any) -> dict[str, str]:
    where = where_words_long(subject.place) if subject.place else "not known"
    cast = subject.cast
    said = {"number": _number(cast, subject.number), "what": cast.description, "where": where, "hands": subject.hands}
    return said | {"material": cast.material or "not written"}


def _body(told: dict[str, Any]) -> dict[str, Any]:
    row, balance = told["row"], told["balance"]
    weight = row.mass_before_g
    before = figures.with_uncertainty(weight, row.mass_before_u_g, "g") if weight is not None and row.mass_before_u_g else say.mass(weight)  # fmt: skip
    state = f", {row.mass_before_state}" if row.mass_before_state else ""
    parts = [{"number": p["piece"].number, "mass": say.mass(p["mass_g"])} for p in told["parts"]]
    if row.crumbs_g:
        parts.append({"number": "Crumbs", "mass": say.mass(row.crumbs_g)})
    if row.lost_g:
        parts.append({"number": "Known to be lost", "mass": say.mass(row.lost_g)})
    return {"number": row.number, "before": f"{before}{state}", "parts": parts, "balance": balance.sentence or ""}


def _pictures(incident: Incident) -> tuple[list[dict[str, str]], dict[str, bytes]]:
    shown, files = [], {}
    shots = [p.photograph for p in incident.pictures.all() if not p.photograph.withdrawn_on]
    for n, shot in enumerate(shots[:_MOST_PICTURES], 1):
        with derivative(shot.sha256, "view") as stream:
            files[f"picture-{n}.jpg"] = stream.read()
        shown.append({"file": f"picture-{n}.jpg", "alt": f"Photograph {n} of what happened, {incident.number}"})
    return shown, files
