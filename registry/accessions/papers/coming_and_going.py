"""The receipt for what came in, and the note for what goes out."""

from __future__ import annotations

from typing import Any

from catalog.casts.numbers import entry_object
from catalog.ground import say
from catalog.ground.collection import collection
from catalog.ground.keeping import Draft
from catalog.ground.roles import Actor, may
from registry.accessions.models import Entry, Exit, StatedValue
from registry.accessions.papers.family import draft, family, parts_said, said_of, shown_number, signs
from registry.accessions.reads.entries import object_of
from registry.accessions.reads.told import formers_of

_OURS = ("own excavation", "found in the collection")
_TERMS = [
    "We keep it as carefully as what is ours.",
    "No title passes by this paper, whatever else was said.",
    "What is not fetched by the day named here waits, and we write to the one who brought it.",
    "It is insured only where another paper of ours says so.",
]


def entry_receipt(reader: Actor, entry: Entry) -> Draft:
    """What came in, from whom, in how many parts: two copies. Address and value only for who may read them."""
    brought, private = said_of(entry.from_person, entry.from_words, reader)
    owner, private_too = _owner(reader, entry)
    value = _value(reader, entry)
    ours, n = entry.how in _OURS, list(entry.objects_of.all())
    facts = family(
        "Entry receipt",
        of=entry.number,
        sentence=_receipt_sentence(entry),
        entry={
            "brought_by": brought or (None if ours else ""),
            "owner": _owner_said(owner, brought, ours),
            "what": "\n".join([entry.what, *_objects(entry, len(n))]),
            "parts": parts_said(entry.n_parts, entry.parts_are) or "not counted yet",
            "how": entry.get_how_display(),
            "return_by": say.day(entry.back_by) if entry.back_by else (None if ours else ""),
            "labels": "\n".join(f.text for f in formers_of(o.cast for o in n) if f.where_from == "on the object")
            or None,
            "value": value or None,
            "hazards": entry.hazards or None,
            "taken_by": entry.taken_in_by.name if entry.taken_in_by else None,
        },
        terms=[] if ours else _TERMS,
        signatures=_receipt_signatures(entry, ours),
        printed={"from": f"version {entry.version}"},
    )
    if ours:
        facts["copies"] = ["to lie with the object", "for the collection"]
    told = bool(private or private_too or value)
    return draft("entry-receipt", entry.number, facts, f"Entry receipt {entry.number}", private=told)


def _owner_said(owner: str, brought: str, ours: bool) -> str | None:
    """The owner; left open for the pen where nobody said who it is."""
    if owner and owner == brought:
        return "who brought it"
    return owner or (None if ours else "")


def _receipt_sentence(entry: Entry) -> str:
    came = say.day(entry.came_on)
    if entry.how == "own excavation":
        dig = f" {entry.excavation.number}" if entry.excavation else ""
        return f"What is named here came in on {came} from our own excavation{dig}."
    if entry.how == "found in the collection":
        return f"What is named here was found in the collection on {came}. Who owns it is not proven."
    return f"We took in what is named here on {came}. No title passes by this paper."


def _objects(entry: Entry, n: int) -> list[str]:
    """The numbers of its objects, where there are several: as they were given, whatever they go by now."""
    numbers = [entry_object(entry.number, index) for index in range(1, n + 1)]
    return [f"{say.capital(say.plural(n, 'object'))}: {say.listed(numbers)}"] if n > 1 else []


def _owner(reader: Actor, entry: Entry) -> tuple[str, bool]:
    if entry.owner_is_us:
        return collection().name, False
    return said_of(entry.owner, entry.owner_words, reader)


def _value(reader: Actor, entry: Entry) -> str:
    if not may(reader, "value.read"):
        return ""
    stated = StatedValue.objects.filter(entry=entry).first()
    return say.money(stated.amount, stated.currency) if stated else ""


def _receipt_signatures(entry: Entry, ours: bool) -> list[dict[str, str]]:
    taken = entry.taken_in_by.name if entry.taken_in_by else ""
    took = signs("I have taken it in.", taken, on=say.day(entry.came_on))
    if ours:
        return [took]
    brought = entry.from_person.name if entry.from_person else ""
    return [signs("I hand over what is named here.", brought, "who brought it"), took]


def exit_note(reader: Actor, exit_: Exit) -> Draft:
    """What leaves our hands, to whom, on whose word: two copies, one of them the receiver's receipt."""
    receiver, private = said_of(exit_.to_person, exit_.to_words, reader)
    thing = object_of(exit_.cast)
    number = shown_number(exit_.cast)
    facts = family(
        "Exit note",
        of=exit_.cast.number,
        shown=number,
        sentence=f"Exit {exit_.number}: what is named here left our hands on {say.day(exit_.on)} against this receipt.",
        exit={
            "date": say.day(exit_.on),
            "reason": exit_.reason,
            "authority": exit_.authority,
            "receiver": receiver,
            "carrier": exit_.carrier or None,
            "packing": exit_.packing,
            "back_by": _back_by(exit_),
            "entry": thing.entry.number if thing else None,
        },
        objects=[{"number": number, "what": exit_.cast.description, "parts": parts_said(exit_.n_parts)}],
        terms=["The receiver has counted the parts.", "Care passes with this signature."],
        signatures=_exit_signatures(exit_),
        printed={"from": f"version {exit_.version}"},
    )
    return draft("exit-note", exit_.number, facts, f"Exit note {exit_.number}", private=private)


def _back_by(exit_: Exit) -> str:
    if exit_.for_good:
        return "for good"
    return say.day(exit_.back_by) if exit_.back_by else ""


def _exit_signatures(exit_: Exit) -> list[dict[str, Any]]:
    to = exit_.to_person.name if exit_.to_person else ""
    return [
        signs("I have received what is named here, whole and counted.", to, "receiver"),
        signs("I have handed it over.", exit_.by.name if exit_.by else ""),
    ]
