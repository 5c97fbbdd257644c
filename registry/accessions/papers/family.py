"""What all papers of this room carry, and how they say numbers, people and parts."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import Cast
from catalog.ground import say
from catalog.ground.codes import code_address
from catalog.ground.collection import collection, with_code
from catalog.ground.keeping import HEADS_EYES, STAFF_EYES, Draft
from catalog.ground.papers import Paper
from catalog.ground.roles import Actor
from catalog.people.models import Person
from registry.accessions.reads.register import head_now, root_now
from registry.accessions.reads.told import address_of, label_base
from registry.accessions.seal import seal_words

FOLDER = "registry/accessions/papers"


def family(name: str, *, of: str = "", shown: str = "", sentence: str = "", **more: Any) -> dict[str, Any]:
    """Facts of every paper; `of` is the number that the code holds, `shown` the same as it stands on the tag."""
    ours, head = collection(), head_now()
    facts: dict[str, Any] = {
        "lang": "en",
        "page": "us-letter" if ours.letter_paper else "a4",
        "collection": {"name": ours.name, "code": ours.code, "address": ours.address.strip()},
        "paper": {"name": name},
        "sentence": sentence,
    }
    if of:
        facts |= {"number": shown or of, "code": code_address(label_base(), of)}
    if head and head.size:
        facts["seal"] = {"size": head.size, "seal": seal_words(root_now())}
    return facts | more


def draft(kind: str, about: str, facts: dict[str, Any], title: str, *, private: bool = False, **more: Any) -> Draft:
    """The paper of a template of this room (`exit-note` is set by exit_note.typ); `private` facts are for the heads alone."""
    template = f"{FOLDER}/{more.pop('template', kind.replace('-', '_'))}.typ"
    return Draft(kind, about, Paper(template, facts, title, **more), HEADS_EYES if private else STAFF_EYES)


def signs(sentence: str, name: str = "", capacity: str = "", on: str = "") -> dict[str, str]:
    """A box to sign in; what is empty is filled in by hand."""
    return {"sentence": sentence, "name": name, "capacity": capacity, "date": on}


def shown_number(cast: Cast) -> str:
    """`TH 2016.1` once it has its number, else the entry's as it stands."""
    return with_code(cast.number) if cast.year else cast.number


def said_of(person: Person | None, words: str, reader: Actor) -> tuple[str, bool]:
    """Who it is, a line each, and whether a private address stands there."""
    if person is None:
        return words.strip(), False
    address = address_of(reader, person)
    rows = [person.name, address] if address else [", ".join(p for p in (person.name, person.town) if p)]
    return "\n".join(rows), bool(address)


def parts_said(n: int | None, are: str = "") -> str:
    """`3 parts`, `2 boxes`, or nothing where nobody counted."""
    if n is None:
        return are
    return f"{say.figure(n)} {are}" if are else say.plural(n, "part", words=False)
