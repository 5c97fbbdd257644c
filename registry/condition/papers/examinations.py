"""The condition report: the verdict first, pictures with their marks, findings, what changed, blank lines for further openings."""

from __future__ import annotations

from typing import Any

from django.conf import settings

from catalog.casts.models import Cast
from catalog.ground import say
from catalog.ground.codes import code_address
from catalog.ground.collection import collection, with_code
from catalog.ground.keeping import Draft
from catalog.ground.papers import Paper
from catalog.ground.roles import Actor
from catalog.media.files import derivative
from catalog.media.mark_drawing import Mark
from catalog.media.models import Photograph
from catalog.media.reads import drawing_of
from registry.condition.models import Examination, Finding
from registry.condition.reads import examinations as reads
from registry.condition.rules import examinations as rules
from registry.condition.states.examinations import MEANS

_FOLDER = "registry/condition/papers"
_MOST_PICTURES = 6


def condition_report(reader: Actor, held: Examination) -> Draft:
    """An unsigned one says so in its first sentence. `held` with its findings."""
    ours = collection()
    pictures, files = _pictures(held)
    facts: dict[str, Any] = {
        "lang": "en",
        "page": "us-letter" if ours.letter_paper else "a4",
        "collection": {"name": ours.name, "code": ours.code, "address": ours.address.strip()},
        "paper": {"name": "Condition report"},
        "number": with_code(held.number) if held.cast.year else held.number,
        "code": code_address(ours.label_address.strip().rstrip("/") or settings.BASE_ADDRESS, held.number),
        "sentence": _verdict(held),
        "exam": _about(held),
        "pictures": pictures,
        "findings": [_row(f) for f in held.findings.all()],
        "since": _since(held),
        "legs": 4,
        "signatures": _signatures(held),
        "printed": {"from": f"version {held.version}"},
    }
    title = f"Condition report of {held.number}, {say.day(held.on)}"
    return Draft("condition-report", str(held.uid), Paper(f"{_FOLDER}/condition_report.typ", facts, title, files))


def _verdict(held: Examination) -> str:
    if not held.signed:
        return "Not signed yet. What stands here may still change."
    later = reads.standing(Examination.objects.filter(replaces=held)).first()
    put_right = f" A newer one of {say.day(later.on)} puts it right." if later else ""
    return f"{say.capital(held.grade)}: {MEANS[held.grade]}.{put_right}"


def _about(held: Examination) -> dict[str, str]:
    """What is not known is left out."""
    cast = held.cast
    said = {
        "what": (held.piece and f"piece {held.number} of {cast.description}") or cast.description,
        "material": cast.material,
        "size": _size(cast) if held.piece is None else say.mass(held.piece.mass_g),
        "reason": held.get_reason_display(),
        "on": say.day(held.on),
        "place": held.place.name if held.place else "",
        "by": held.by.name + (", a plain look" if held.plain else ""),
        "method": held.method,
        "not_seen": held.not_seen,
        "earlier": f"{say.day(held.previous.on)}, by {held.previous.by.name}" if held.previous else "",
        "replaces": f"the report of {say.day(held.replaces.on)}" if held.replaces else "",
        "risk": held.risk,
        "recommendation": held.recommendation,
        "next_due": say.day(held.next_due) if held.next_due else "",
        "note": held.note,
    }
    return {name: words for name, words in said.items() if words}


def _size(cast: Cast) -> str:
    sides = [s for s in (cast.length_mm, cast.width_mm, cast.height_mm) if s is not None]
    size = " × ".join(say.length(s) for s in sides)
    return ", ".join(p for p in (size, say.mass(cast.mass_g) if cast.mass_g is not None else "") if p)


def _row(finding: Finding) -> dict[str, str]:
    was = finding.carried_from
    grew = was and finding.verdict == "changed" and was.size_mm and was.size_mm != finding.size_mm
    since = f"since {say.day(finding.first.examination.on)}" if finding.first else ""
    became = finding.get_verdict_display() + (
        f", was {say.with_unit(was.size_mm, 'mm')}" if grew and was and was.size_mm else ""
    )
    active = "goes on now" if finding.active else ""
    more = ", ".join(p for p in (finding.get_origin_display() if finding.origin else "", active, finding.note) if p)
    return {
        "n": str(finding.n),
        "what": rules.finding_words(finding.kind, finding.size_mm, finding.where),
        "became": ", ".join(p for p in (became, since) if p),
        "grade": finding.grade,
        "more": more,
    }


def _since(held: Examination) -> str:
    """What changed since the last one, in a sentence."""
    if held.previous is None:
        return "It was not examined before."
    rows = held.findings.all()
    changed = [
        f"{f.n} ({f.kind}) {'is new' if f.verdict == 'new' else 'has changed' if f.verdict == 'changed' else 'is gone'}"
        for f in rows
        if f.verdict != "as it was"
    ]
    when = say.day(held.previous.on)
    return f"Since {when}: {say.listed(changed)}." if changed else f"Since {when} nothing has changed."


def _pictures(held: Examination) -> tuple[list[dict[str, str]], dict[str, bytes]]:
    shots: dict[int, Photograph] = {held.picture.pk: held.picture} if held.picture else {}
    marks: dict[int, list[Mark]] = {}
    for finding in held.findings.all():
        if finding.mark:
            shots.setdefault(finding.mark.photograph_id, finding.mark.photograph)
            state = "gone" if finding.verdict == "gone" else ""
            marks.setdefault(finding.mark.photograph_id, []).append(Mark(str(finding.n), finding.mark.drawn, state))
    shown, files = [], {}
    for n, (pk, shot) in enumerate(list(shots.items())[:_MOST_PICTURES], 1):
        with derivative(shot.sha256, "view") as stream:
            files[f"picture-{n}.jpg"] = stream.read()
        said = {
            "file": f"picture-{n}.jpg",
            "caption": _caption(shot),
            "alt": f"{held.number}, {shot.view or 'photograph'}",
        }
        if on_it := marks.get(pk):
            files[f"marks-{n}.svg"] = drawing_of(shot, on_it, paper=True).encode()
            said |= {"marks": f"marks-{n}.svg", "marks_alt": f"Marks {say.listed([m.number for m in on_it])}"}
        shown.append(said)
    return shown, files


def _caption(shot: Photograph) -> str:
    scale = "scale in the picture" if shot.has_scale else "no scale"
    return say.capital(", ".join(p for p in (shot.view, shot.caption, scale) if p)) + "."


def _signatures(held: Examination) -> list[dict[str, str]]:
    signer = held.signed_by.person.name if held.signed_by else ""
    return [
        {
            "sentence": rules.sentence_signed(held.number, held.on),
            "name": signer,
            "capacity": "who examined it",
            "date": say.day(held.on) if held.signed else "",
        },
        {"sentence": "I have read this and seen the same.", "name": "", "capacity": "the other party", "date": ""},
    ]
