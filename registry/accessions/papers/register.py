"""Papers of the register: an extract, a page to sign and lay away, old numbers and new."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any

from catalog.casts.numbers import natural_key
from catalog.ground import say
from catalog.ground.collection import local
from catalog.ground.edtf import in_words
from catalog.ground.keeping import Draft
from catalog.ground.refusal import Hindered, Reason, Refusal
from catalog.ground.roles import Actor
from registry.accessions import line_members
from registry.accessions.models import Checkpoint
from registry.accessions.papers.family import draft, family, shown_number, signs
from registry.accessions.reads.register import LineView, line_views, lines_for_list
from registry.accessions.reads.told import older_numbers

MOST_LINES = 1000
OfLines = Callable[[Actor, tuple[int, int], Checkpoint], Draft]
_FIELDS = {"mass_g": "mass in grams", "pieces": "number of parts", "from_commit": "source", "object": "what it is"}


def span_of(first: str, last: str, size: int) -> tuple[int, int]:
    """Which lines are wanted, of `size`: whole numbers as they were typed, empty for all. Refuses what makes no span."""
    found = []
    for field, typed, default in (("from", first, 1), ("to", last, size)):
        text = typed.strip()
        if text and not (text.isascii() and text.isdigit() and len(text) < 10):
            raise Refusal(
                Reason(f"'{text[:20]}' is not the number of a line. Write it in figures.", field, said=text[:20])
            )
        found.append(int(text) if text else default)
    a, b = found
    if not size:
        raise Hindered("The register has no line yet.")
    if not 1 <= a <= b <= size:
        raise Refusal(
            Reason(f"The register has lines 1 to {size}. Write the first and the last that you want.", "from")
        )
    if b - a >= MOST_LINES:
        most = say.figure(MOST_LINES, spaced_from=4)
        raise Refusal(Reason(f"A paper holds at most {most} lines. Choose fewer, or take the spreadsheet.", "to"))
    return a, b


def register_extract(reader: Actor, span: tuple[int, int], point: Checkpoint) -> Draft:
    """Chosen lines with the checkpoint they stand under."""
    return _lines(reader, span, point, "Register extract")


def register_page(reader: Actor, span: tuple[int, int], point: Checkpoint) -> Draft:
    """Lines without a gap, to be printed on durable paper, signed, and kept elsewhere."""
    return _lines(reader, span, point, "Register page")


def _lines(reader: Actor, span: tuple[int, int], point: Checkpoint, name: str) -> Draft:
    a, b = span
    which = f"lines {a} to {b}" if b > a else f"line {a}"
    lines = line_views(lines_for_list(reader).filter(n__gte=a, n__lte=b).order_by("n"))
    facts = family(
        name,
        sentence="The accession register says what stands here, letter for letter where it is sealed.",
        range=f"{say.capital(which)} of {point.size}",
        lines=list(_rows(lines)),
        checkpoint=checkpoint_facts(point) | {"signed": "\n— " in point.text},
        signatures=[signs("Printed from the register and compared."), signs("Seen.")],
    )
    return draft(name.lower().replace(" ", "-"), f"register {a}-{b}", facts, f"{name}, {which}")


def checkpoint_facts(point: Checkpoint) -> dict[str, Any]:
    at = local(point.at)
    return {"text": point.text, "on": f"{say.day(at.date())}, {at:%H:%M}"}


def _rows(lines: Iterable[LineView]) -> Iterable[dict[str, Any]]:
    for line in lines:
        members = line.members
        row: dict[str, Any] = {
            "line": line.n,
            "date": in_words(line.date) if line.date else say.day(local(line.at).date()),
            "number": members.get("number") or "",
            "entry": line.entry,
            "kind": line.kind_words,
            "what": what_of(members),
            "source": line.source,
            "seal": line.seal,
        }
        if line.kind == "correction":
            row |= {"was": _text(members.get("was")), "is": _text(members.get("is"))}
        if line.kind in ("correction", "title change", "deaccession"):
            row["ground"] = members.get("ground") or ""
        if line.corrected_by:
            row["see"] = f"corrected by line {say.listed([str(n) for n in line.corrected_by])}"
        yield row


def _text(value: object) -> str:
    return "not given" if value in (None, "") else str(value)


def what_of(members: dict[str, Any]) -> str:
    """What a line says its object is, with parts, mass and title; other kinds in a sentence."""
    kind = members.get("kind")
    if kind == "accession":
        parts = [str(members.get("object"))]
        if members.get("pieces") is not None:
            parts.append(say.plural(int(members["pieces"]), "part", words=False))
        if members.get("mass_g"):
            parts.append(say.mass(Decimal(str(members["mass_g"]))))
        return f"{', '.join(parts)}; title {members.get('title')}"
    if kind == "correction":
        field = str(members.get("field"))
        return f"Corrects line {members.get('corrects')}, {_FIELDS.get(field, field)}"
    if kind == "title change":
        return f"Title is {members.get('title')}, it was {members.get('was') or 'not stated'}"
    return line_members.in_words(members)


def old_numbers(reader: Actor) -> Draft:
    """Which number a thing had before and which it has now: the same rows in both orders."""
    formers, olds = older_numbers(reader)
    rows = [
        _pair(
            f.text, f.where_from, f"{shown_number(f.cast)}{f'.{f.piece.suffix}' if f.piece else ''}", f.cast.description
        )
        for f in formers
    ]
    rows += [_pair(o.number, "our own entries", shown_number(o.cast), o.cast.description) for o in olds]
    if not rows:
        raise Hindered("No cast had another number before. There is nothing to list.")
    facts = family(
        "Old numbers and new",
        sentence="Which number a thing had before, and which it has now.",
        numbers=sorted(rows, key=lambda row: (natural_key(row["old"]), natural_key(row["new"]))),
        by_new=sorted(rows, key=lambda row: (natural_key(row["new"]), natural_key(row["old"]))),
    )
    return draft("old-numbers", "register", facts, "Old numbers and new")


def _pair(old: str, where_from: str, new: str, what: str) -> dict[str, str]:
    return {"old": old, "list": where_from or "not known", "new": new, "what": what}
