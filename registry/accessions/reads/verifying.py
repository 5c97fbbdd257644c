"""Whether the register stands: bytes, leaves, heads and checkpoints first, then what is kept beside the lines."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from catalog.ground import guards, say
from catalog.ground.collection import local
from registry.accessions.line_members import instant_text
from registry.accessions.models import Accession, Checkpoint, LedgerHead, LedgerLine, LineSource
from registry.accessions.seal import STANDS, Stored, check, commit_of, read_checkpoint
from registry.accessions.seal import Checkpoint as Seen

_BATCH = 2000
_GUARDED = ("registry_ledgerline", "registry_accession", "registry_checkpoint", "registry_title")


@dataclass(frozen=True)
class Verified:
    """`ok`, how many lines, their root, and one sentence: that all stand, or the first that does not. `line` is its number."""

    ok: bool
    count: int
    root: bytes
    sentence: str
    line: int | None = None


def verify(checkpoints: Sequence[Seen] = (), *, deep: bool = False) -> Verified:
    """Reads every line once, in batches. `checkpoints` come from outside; those kept here are looked at as well."""
    found = check(stored_lines(), [*checkpoints, *kept_checkpoints()], deep)
    fault = "" if found.code == STANDS else found.sentence
    fault = fault or _head_fault(found.size) or _column_fault() or _beside_fault() or _source_fault() or _guard_fault()
    if fault:
        return Verified(False, found.size, found.root, fault, line_named(fault))
    sentence = f"{found.sentence}." if checkpoints else f"All {say.plural(found.size, 'line', words=False)} stand."
    return Verified(True, found.size, found.root, sentence)


def stored_lines() -> Iterator[Stored]:
    """Every line as it is kept, in order."""
    rows = LedgerLine.objects.order_by("n").values_list("n", "raw", "leaf", "head")
    for n, raw, leaf, head in rows.iterator(chunk_size=_BATCH):
        yield Stored(n, bytes(raw), bytes(leaf), bytes(head))


def kept_checkpoints() -> list[Seen]:
    """What was sent out or printed, as it was then; nobody outside vouches for these."""
    kept = Checkpoint.objects.order_by("size", "pk").values_list("text", "at")
    return [read_checkpoint(text, named=f"of {say.day(local(at).date())}") for text, at in kept]


def line_named(sentence: str) -> int | None:
    """The number of the first bad line, as the sentence tells it."""
    for pattern, shift in ((r"[Ll]ines? (\d+)", 0), (r"between (\d+)", 0), (r"has (\d+) lines", 1)):
        if told := re.search(pattern, sentence):
            return int(told[1]) + shift
    return None


def _head_fault(size: int) -> str:
    head = LedgerHead.objects.filter(pk=1).first()
    told = head.size if head else 0
    return "" if told == size else f"Line {min(told, size) + 1}: register has {size} lines, its head says {told}"


def _column_fault() -> str:
    """The first column beside a line that shows another thing than is sealed in it."""
    code = ""
    names = ("n", "raw", "kind", "number", "object", "at", "corrects")
    for n, raw, kind, number, object_, at, corrects in (
        LedgerLine.objects.order_by("n").values_list(*names).iterator(chunk_size=_BATCH)
    ):
        sealed: dict[str, Any] = json.loads(bytes(raw))
        code = code or str(sealed.get("collection") or "")
        own = str(sealed.get("number") or "").removeprefix(f"{code} ")
        shown = {"kind": kind, "object": object_, "at": instant_text(at), "corrects": corrects}
        beside = {"kind": "kind", "object": "object", "at": "at", "corrects": "corrects"}
        if number != own:
            return f"Line {n}: number shown {number}, sealed {own}"
        for name, member in beside.items():
            value = sealed.get(member)
            if shown[name] != (value if value is not None or name == "corrects" else ""):
                return f"Line {n}: {name} shown {shown[name]}, sealed {value}"
    return ""


def _beside_fault() -> str:
    """The first accession, or cast, that says another thing than its line."""
    rows = Accession.objects.order_by("line__n").values_list(
        "line__n", "line__raw", "line__number", "number", "cast__number", "uid", "by_id"
    )
    for n, raw, sealed_number, number, cast_number, uid, by in rows.iterator(chunk_size=_BATCH):
        sealed: dict[str, Any] = json.loads(bytes(raw))
        if number != sealed_number:
            return f"Line {n}: the accession says {number}, sealed {sealed_number}"
        if cast_number != sealed_number:
            return f"Line {n}: the cast goes by {cast_number}, sealed {sealed_number}"
        if sealed.get("kind") == "accession" and str(uid) != sealed.get("act"):
            return f"Line {n}: the accession beside it is not the one that wrote it"
        if sealed.get("kind") == "accession" and by is not None and f"p{by}" != sealed.get("by"):
            return f"Line {n}: taken in by another person than is sealed"
    alone = LedgerLine.objects.filter(kind="accession", accession__isnull=True).order_by("n").first()
    return f"Line {alone.n}: the accession that wrote it is gone" if alone else ""


def _source_fault() -> str:
    """The first source, kept beside its line so that it can be erased, that was changed and not erased."""
    rows = LineSource.objects.order_by("line__n").values_list("line__n", "line__raw", "salt", "text")
    for n, raw, salt, text in rows.iterator(chunk_size=_BATCH):
        sealed = json.loads(bytes(raw))
        if len(bytes(salt)) != 32:
            continue
        if commit_of(bytes(salt), text) != sealed.get("from_commit"):
            return f"Line {n}: the source beside it is not the one that was sealed"
    return ""


def _guard_fault() -> str:
    gone = [name for name in guards.missing() if name.startswith(_GUARDED)]
    return (
        f"The database no longer guards its lines: {', '.join(gone)}. Run migrate to put the guards back."
        if gone
        else ""
    )
