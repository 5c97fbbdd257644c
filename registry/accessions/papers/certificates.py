"""The certificate of one line: the line, the checkpoint it stood in, the path of hashes, how to check without us."""

from __future__ import annotations

import base64
from decimal import Decimal

from catalog.ground import say
from catalog.ground.collection import local, today
from catalog.ground.drawings import outline_alone
from catalog.ground.keeping import Draft
from catalog.ground.refusal import Hindered
from catalog.ground.roles import Actor
from catalog.media.outlines import outline_for
from registry.accessions.actions.checkpoints import signing_key
from registry.accessions.models import Checkpoint, LedgerLine
from registry.accessions.papers.family import draft, family, signs
from registry.accessions.papers.register import checkpoint_facts, what_of
from registry.accessions.reads.register import LineView, line_view, proof_of
from registry.accessions.seal import key_text, proof_text, public_of, read_checkpoint

_A = {"opening": "the opening line", "accession": "an accession", "transcribed": "a line taken over"}


def proof_files(line: LedgerLine, point: Checkpoint) -> dict[str, bytes]:
    """What goes along: the line's own bytes, the proof, and the checkpoint they lead to."""
    proof, _ = proof_of(line.n, point.size)
    steps = [one for _, one in proof.steps]
    return {
        "line.json": bytes(line.raw),
        "proof.txt": proof_text(line.n, point.size, steps).encode(),
        "checkpoint.txt": point.text.encode(),
    }


def certificate(reader: Actor, line: LedgerLine, point: Checkpoint) -> Draft:
    """The certificate of a line under a checkpoint that covers it."""
    view = line_view(line)
    proof, root = proof_of(line.n, point.size)
    if root != bytes(point.root):
        raise Hindered(
            "The register does not lead to its own checkpoint. Check the register before anything is certified."
        )
    number = str(view.members.get("number") or "")
    kind = _A.get(line.kind, f"a {view.kind_words}")
    facts = family(
        "Accession certificate",
        of=view.number,
        shown=number,
        sentence=f"{f'{number} is' if number and line.kind != 'correction' else 'This is'} line {line.n} of our accession register.",
        line={
            "line": line.n,
            "number": number,
            "kind": kind,
            "words": line_words(view),
            "bytes": bytes(line.raw).decode(),
            "leaf": bytes(line.leaf).hex(),
        },
        tree={
            "size": point.size,
            "root": root.hex(),
            "root_base64": base64.b64encode(root).decode(),
            "proof": [{"side": side, "hash": one.hex()} for side, one in proof.steps],
        },
        checkpoint=checkpoint_facts(point) | _key(point),
        asked={"by": reader.name, "on": say.day(today())},
        signatures=[signs("I have printed this from our register.", capacity="registrar")],
    )
    title = f"Certificate of line {line.n}"
    pictures = _drawing(line)
    if pictures:
        words = "The form of such nests; not this cast itself"
        facts["drawing"] = {
            "file": "drawing.svg",
            "alt": "A cast in outline, after the form of such nests.",
            "words": words,
        }
    files = proof_files(line, point)
    return draft("certificate", f"line {line.n}", facts, title, attachments=files, pictures=pictures, standard="a-3a")


def line_words(view: LineView) -> list[list[str]]:
    """The line in words, as (label, value). Who gave it stands beside the register, not in it, and does not go out."""
    m = view.members
    at = local(view.at)
    later = f", corrected by line {say.listed([str(n) for n in view.corrected_by])}" if view.corrected_by else ""
    if view.kind != "accession":
        said = [["Says", what_of(m)]]
        said += [
            [label, str(m[name])] for label, name in (("Was", "was"), ("Is", "is"), ("Ground", "ground")) if m.get(name)
        ]
    else:
        said = [
            ["Object", f"{m.get('object', '')}{later}"],
            ["Parts", "not counted" if m.get("pieces") is None else str(m["pieces"])],
            ["Mass", say.mass(Decimal(str(m["mass_g"]))) if m.get("mass_g") else "not weighed"],
            ["Title", str(m.get("title"))],
            ["Entry", view.entry or "none"],
        ]
    by = f", by {view.who}" if view.who else ""
    return [*said, ["Written", f"{say.day(at.date())}, {at:%H:%M}{by}"]]


def _drawing(line: LedgerLine) -> dict[str, bytes]:
    """The form of such nests, black on white, where the animal is known."""
    taxon = line.cast.taxon if line.cast else None
    drawn = outline_alone(outline_for(taxon.group)) if taxon else ""
    return {"drawing.svg": drawn.encode()} if drawn else {}


def _key(point: Checkpoint) -> dict[str, str]:
    """Our public key as witnesses keep it, where the checkpoint is signed."""
    secret = signing_key() if "\n— " in point.text else None
    return {"key": key_text(read_checkpoint(point.text).origin, public_of(secret))} if secret else {}
