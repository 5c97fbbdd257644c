"""Bringing in: an entry, its objects as casts, their tags, custody and place, in one act."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, datetime, time
from typing import Any

from django.utils import timezone

from catalog.casts.actions import add_former_number, describe_cast, record_cast
from catalog.casts.models import Cast
from catalog.casts.numbers import entry_object, give, read
from catalog.casts.subject import Subject
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.collection import collection, today, zone
from catalog.ground.numbers import never_below, next_number
from catalog.ground.refusal import NotFound, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.media.actions import keep_photograph
from catalog.people.models import Person
from registry.accessions import rules
from registry.accessions.models import Entry, EntryObject, StatedValue
from registry.accessions.reads.register import counter_of
from registry.accessions.said import EntrySaid, ObjectSaid
from registry.accessions.states import FIRST
from registry.places.actions import move, take_custody
from registry.places.models import Place
from registry.places.reads import place_at, place_meant

# what may be said of an entry later; its number, what came and when it was written stay
CHANGEABLE = frozenset(
    {
        "what", "how", "came_on", "n_parts", "parts_are", "from_person", "from_words", "owner", "owner_words",
        "owner_is_us", "excavation", "packing", "back_by", "hazards", "note",
    }
)  # fmt: skip


@action("entry.make")
def enter(actor: Actor, said: EntrySaid) -> Entry:
    """Something came through the door: it has its entry number at once, and each of its objects is a cast on its way in."""
    day = said.came_on or today()
    said = replace(said, came_on=day, former_numbers=tuple(t.strip() for t in said.former_numbers if t.strip()))
    refuse_if(rules.wrong_entry(said, today=today()), Refusal)
    place = _place(actor, said.place)
    number = _number(said.number)
    entry = store(_entry(actor, number, said, day))
    if said.value is not None:
        store(StatedValue(entry=entry, amount=said.value, currency=said.currency or collection().currency))
    at = instant_of(day)
    for index in range(1, said.n_objects + 1):
        thing = ObjectSaid(said.what, said.parts if said.n_objects == 1 else None)
        cast = _object(actor, entry, index, thing, hazards=said.hazards, at=at, place=place)
        if index == 1:
            _tags(actor, cast, said.former_numbers)
            _photographs(actor, cast, said.photographs)
    tell(entry.number, entered=True, objects=said.n_objects)
    return entry


def _entry(actor: Actor, number: str, said: EntrySaid, day: date) -> Entry:
    return Entry(
        number=number,
        what=said.what.strip(),
        how=said.how,
        came_on=day,
        n_parts=said.parts,
        parts_are=said.parts_are.strip(),
        from_person=said.from_person,
        from_words=said.from_words.strip(),
        owner=said.owner,
        owner_words=said.owner_words.strip(),
        owner_is_us=said.owner_is_us or said.how == "own excavation",
        taken_in_by=said.taken_in_by or me(actor),
        excavation=said.excavation,
        packing=said.packing.strip(),
        back_by=said.back_by,
        hazards=said.hazards.strip(),
        note=said.note.strip(),
        made_at=said.made_at,
    )


def me(actor: Actor) -> Person | None:
    """The person who acts."""
    return Person.objects.filter(pk=actor.person_id).first() if actor.person_id else None


def _number(older: str) -> str:
    """The next entry number of the year; or one from an older entry book, under which the counter never falls."""
    pattern = collection().entry_pattern
    if not older.strip():
        year = today().year
        return give(pattern, year, next_number(counter_of("entry", pattern, year)))
    found = read(pattern, older.strip())
    if found is None:
        shape = give(pattern, 2018, 5)
        raise Refusal(Reason(f"{older} does not look like an entry number. It is written as {shape}.", "number"))
    number = give(pattern, found[0] or 1000, found[1])
    if Entry.objects.filter(number__iexact=number).exists():
        raise Refusal(Reason(f"{number} is an entry already.", "number", f"/entries/{number}/", older))
    never_below(counter_of("entry", pattern, found[0] or 0), found[1])
    return number


def _place(actor: Actor, words: str) -> Place | None:
    if not words.strip():
        return None
    try:
        return place_meant(actor, words) or place_at(actor, words)
    except NotFound as none:
        raise Refusal(Reason(none.reasons[0].sentence, "place", said=words)) from None


def instant_of(day: date) -> datetime:
    """Now for today; noon for an earlier day, whose hour nobody wrote down."""
    return timezone.now() if day == today() else datetime.combine(day, time(12), tzinfo=zone())


def _object(
    actor: Actor, entry: Entry, index: int, said: ObjectSaid, *, hazards: str, at: datetime, place: Place | None
) -> Cast:
    facts: dict[str, Any] = {"description": said.what.strip() or entry.what, "n_parts": said.parts}
    facts |= {"excavation": entry.excavation, "hazards": hazards.strip()}
    cast = record_cast(actor, entry_object(entry.number, index), facts)
    store(EntryObject(entry=entry, index=index, cast=cast, state=FIRST.get(entry.how, "entered")))
    took = f"brought in as {entry.number}"
    whom = entry.from_person.name if entry.from_person else entry.from_words
    take_custody(actor, cast, ours=True, from_words=whom, at=at, by=entry.taken_in_by, because=took)
    if place:
        move(actor, Subject(cast), place, because=took, by=entry.taken_in_by, at=at)
    return cast


def _tags(actor: Actor, cast: Cast, tags: tuple[str, ...]) -> None:
    for tag in tags:
        add_former_number(actor, cast, tag, where_from="on the object")


def _photographs(actor: Actor, cast: Cast, files: tuple[Any, ...]) -> None:
    for n, file in enumerate(files):
        with at_field(f"photographs/{n}"):
            keep_photograph(actor, file, cast=cast, view="as it came in", by=me(actor))


@contextmanager
def at_field(name: str) -> Iterator[None]:
    """What is wrong with a file is said at the field in which it was sent."""
    try:
        yield
    except Refusal as refusal:
        raise type(refusal)(*(replace(reason, field=name) for reason in refusal.reasons)) from refusal


@action("entry.make")
def add_object(actor: Actor, pk: int, said: ObjectSaid) -> EntryObject:
    """One more object of an entry, which shares its source and papers: `E-2026-14b`."""
    entry = locked(Entry, pk=pk)
    refuse_if(rules.wrong_object(said), Refusal)
    there = list(EntryObject.objects.filter(entry=entry).order_by("index").values_list("index", flat=True))
    at = instant_of(entry.came_on)
    cast = _object(actor, entry, max(there, default=0) + 1, said, hazards=entry.hazards, at=at, place=None)
    _tags(actor, cast, tuple(t.strip() for t in said.former_numbers if t.strip()))
    tell(cast.number, entered=True)
    return EntryObject.objects.get(cast=cast)


@action("entry.make")
def change_entry(actor: Actor, pk: int, changes: Mapping[str, Any], *, expected_version: int | None = None) -> Entry:
    """Changes what is said of an entry; only the named fields. How it came is settled once a case was made for it."""
    entry = locked(Entry, expected_version, pk=pk)
    if unknown := set(changes) - CHANGEABLE:
        raise Refusal(*(Reason(f"An entry has no {name!r} to change.", name) for name in sorted(unknown)))
    if changes.get("how", entry.how) != entry.how:
        _came_otherwise(entry, str(changes["how"]))
    for name, value in changes.items():
        setattr(entry, name, value)
    refuse_if(rules.wrong_entry(_as_said(entry), today=today()), Refusal)
    if "excavation" in changes:
        for thing in EntryObject.objects.select_related("cast").filter(entry=entry).order_by("cast_id"):
            if thing.cast.excavation_id is None and entry.excavation:
                describe_cast(actor, thing.cast_id, {"excavation": entry.excavation})
    return store(entry)


def _came_otherwise(entry: Entry, how: str) -> None:
    """Its objects begin where that way begins; once a case rests on it, how it came is settled."""
    settled = EntryObject.objects.filter(entry=entry).exclude(state__in=["entered", "loan in", "job"])
    if thing := settled.select_related("cast").first():
        sentence = f"How it came is settled: {thing.cast.number} is {thing.get_state_display()} on the strength of it."
        raise Refusal(Reason(sentence, "how"))
    for thing in EntryObject.objects.filter(entry=entry).order_by("cast_id"):
        thing.state = FIRST.get(how, "entered")
        store(thing)


def _as_said(entry: Entry) -> EntrySaid:
    names = (
        "what",
        "how",
        "came_on",
        "parts_are",
        "from_words",
        "owner_words",
        "packing",
        "back_by",
        "hazards",
        "note",
    )
    return EntrySaid(parts=entry.n_parts, **{name: getattr(entry, name) for name in names})
