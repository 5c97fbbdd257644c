"""Sheets and rolls of labels, as they are printed and as they are shown on the screen beforehand. Labels are not kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from django.utils import timezone

from catalog.ground.codes import code_address, code_modules
from catalog.ground.collection import collection, local
from catalog.ground.papers import Paper, picture_of, typeset
from catalog.ground.refusal import Refusal
from registry.accessions.label_kinds import GOOD_MODULE_MM, LEAST_MODULE_MM, module_mm
from registry.accessions.label_words import Thing, label_of
from registry.accessions.labels import (
    KINDS,
    Kind,
    Sheet,
    hinders_labels,
    in_pairs,
    label_facts,
    roll_for,
    ruler_facts,
    sheet_for,
)
from registry.accessions.papers.family import FOLDER
from registry.accessions.reads.told import label_base

_TEMPLATE = f"{FOLDER}/labels.typ"


def sheet_of(kind: Kind, on: str) -> Sheet:
    """The sheet or the roll that labels of this kind are printed on."""
    page = "us-letter" if collection().letter_paper else "a4"
    return roll_for(kind) if on == "roll" else sheet_for(kind, page)


def print_labels(things: Sequence[Thing], kind: Kind, on: str, first_free: int = 1) -> bytes:
    """The labels as PDF. Refuses with the sentences of what does not go."""
    return typeset(_paper(things, kind, sheet_of(kind, on), first_free), printed_at=local(timezone.now()))


def print_ruler(kind: Kind, on: str) -> bytes:
    """The test page that shows a printer's shift and shrinking."""
    facts = ruler_facts(kind, sheet_of(kind, on), collection=_whose())
    return typeset(Paper(_TEMPLATE, facts, f"Test page for {kind.name}"), printed_at=local(timezone.now()))


def picture_of_label(thing: Thing, kind: Kind, dots_per_inch: int = 288) -> bytes:
    """One label as it will be printed (PNG)."""
    paper = _paper([thing], replace(kind, paired=False), roll_for(kind))
    return picture_of(paper, printed_at=local(timezone.now()), dots_per_inch=dots_per_inch)


def picture_of_sheet(things: Sequence[Thing], kind: Kind, on: str, first_free: int = 1) -> bytes:
    """The first sheet as it will be printed, small (PNG)."""
    sheet = sheet_of(kind, on)
    room = max(1, ceil((sheet.places - first_free + 1) / (2 if kind.paired else 1)))
    paper = _paper(things[:room], kind, sheet, first_free)
    first = [label for label in paper.facts["labels"] if label["page"] == 1]
    paper = replace(paper, facts=paper.facts | {"labels": first})
    return picture_of(paper, printed_at=local(timezone.now()), dots_per_inch=72)


def _paper(things: Sequence[Thing], kind: Kind, sheet: Sheet, first_free: int = 1) -> Paper:
    labels = [label_of(thing, kind.key) for thing in things]
    if kind.key == "showcase":  # the third line stands beside the number
        labels = [replace(label, lines=(*label.lines, "", _whose()["name"])) for label in labels]
    if hindrances := hinders_labels(kind, sheet, in_pairs(labels) if kind.paired else labels, first_free):
        raise Refusal(*dict.fromkeys(hindrances))
    facts, pictures = label_facts(
        kind, sheet, labels, base_address=label_base(), first_free=first_free, collection=_whose()
    )
    return Paper(_TEMPLATE, facts, f"Labels: {kind.name}", pictures)


def _whose() -> dict[str, str]:
    ours = collection()
    return {"name": ours.name, "code": ours.code}


def hinders_printing(things: Sequence[Thing], kind: Kind, on: str, first_free: int) -> list[str]:
    """Sentences why this cannot be printed; none when it can."""
    labels = [label_of(thing, kind.key) for thing in things]
    found = hinders_labels(kind, sheet_of(kind, on), in_pairs(labels) if kind.paired else labels, first_free)
    return list(dict.fromkeys(found))


def where_they_come(n: int, kind: Kind, on: str, first_free: int) -> str:
    """`Two sheets: the first from label 5, the second to label 18.`"""
    from catalog.ground import say

    n, sheet = (2 * n if kind.paired else n), sheet_of(kind, on)
    if on == "roll":
        return f"{say.capital(say.plural(n, 'label'))}, one after the other."
    sheets, last = divmod(first_free - 1 + n - 1, sheet.places)
    if sheets == 0:
        return f"One sheet, label {last + 1}." if n == 1 else f"One sheet: from label {first_free} to label {last + 1}."
    return f"{say.capital(say.number_word(sheets + 1))} sheets: the first from label {first_free}, the last to label {last + 1}."


def what_the_address_costs(kind: Kind, things: Sequence[Thing]) -> str:
    """What the length of the base address costs on this label, in millimetres of a module of the code."""
    base = label_base()
    longest = max((thing.number for thing in things), key=len, default="2026.1")
    address, now = code_address(base, longest), module_mm(kind, base, longest)
    said = (
        f"The codes hold {address.rpartition('/')[0]}/ and the number: {len(address)} signs, "
        f"{code_modules(address)} modules a side, each {now:.2f} mm on this label."
    )
    shorter = next((n for n in range(1, len(address) - 12) if code_modules(address[:-n]) < code_modules(address)), None)
    if shorter and now < 2 * GOOD_MODULE_MM:
        would = kind.code_mm / code_modules(address[:-shorter])
        said += f" An address {shorter} sign{'s' if shorter > 1 else ''} shorter would give {would:.2f} mm."
    if now < LEAST_MODULE_MM:
        said += f" Under {LEAST_MODULE_MM} mm a printer smears them: take a larger label, or a shorter address."
    return said


def kind_of(key: str, things: Sequence[Thing]) -> Kind:
    """The kind that was chosen, or the usual one for the first of these things."""
    if key:
        if key not in KINDS:
            raise Refusal(f"There is no label called {key[:20]!r}. Choose one of: {', '.join(KINDS)}.")
        return KINDS[key]
    return KINDS[things[0].suited[0]] if things else KINDS["object"]
