"""How an entry ends otherwise than with a number: given back, refused, kept for teaching, the same as another."""

from __future__ import annotations

from catalog.casts.actions import add_former_number, close_cast, hold_cast
from catalog.casts.models import Cast
from catalog.casts.numbers import give
from catalog.ground.acting import action, store, tell
from catalog.ground.collection import today
from catalog.ground.numbers import next_number
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from registry.accessions import rules
from registry.accessions.actions.coming_in import instant_of, me
from registry.accessions.actions.keeping import to_state
from registry.accessions.models import EntryObject, Exit
from registry.accessions.reads.entries import object_of
from registry.accessions.said import ExitSaid
from registry.places.actions import take_custody

EXIT = "X-{year}-{n}"


def _held(cast: Cast) -> tuple[Cast, EntryObject]:
    cast = hold_cast(cast.pk)
    thing = object_of(cast)
    if thing is None:
        raise Hindered(
            f"{cast.number} did not come in by an entry. It leaves by a decision to take it off the register."
        )
    return cast, thing


@action("exit.write")
def give_back(actor: Actor, cast: Cast, said: ExitSaid) -> Exit:
    """It goes back to whoever brought it, or to its owner, with an exit note; from then on they hold it."""
    cast, thing = _held(cast)
    refuse_if(rules.wrong_exit(said, today=today(), came_on=thing.entry.came_on), Refusal)
    refuse_if(rules.hinders_step(cast.number, thing.state, "give back"))
    note = _exit(actor, cast, said)
    take_custody(
        actor,
        cast,
        holder=said.to_person,
        holder_words=said.to_words.strip(),
        ours=False,
        at=instant_of(note.on),
        by=note.by,
        because=f"{note.reason} ({note.number})"[:300],
    )
    ground = thing.ground or note.reason
    to_state(thing, "give back", "given back", ground=ground[:500], closed_on=note.on)
    close_cast(actor, cast, "given back")
    tell(cast.number, given_back=note.number)
    return note


def _exit(actor: Actor, cast: Cast, said: ExitSaid) -> Exit:
    year = today().year
    made = Exit(number=give(EXIT, year, next_number(f"exit {year}")), cast=cast, on=said.on or today())
    made.to_person, made.to_words, made.reason = said.to_person, said.to_words.strip(), said.reason.strip()
    made.authority, made.carrier, made.packing = said.authority.strip(), said.carrier.strip(), said.packing.strip()
    made.n_parts = said.parts or cast.n_parts
    made.by = said.by or me(actor)
    return store(made)


@action("exit.write")
def refuse(actor: Actor, cast: Cast, ground: str, *, went_back: ExitSaid | None = None) -> EntryObject:
    """It is not taken in, with the reason. What is still here afterwards waits to go back; `went_back` where it went at once."""
    cast, thing = _held(cast)
    if not ground.strip():
        raise Refusal(Reason("Write why it is refused.", "ground"))
    to_state(thing, "refuse at the door", "refused", ground=ground.strip()[:500])
    tell(cast.number, refused=True)
    if went_back:
        give_back(actor, cast, went_back)
        thing.refresh_from_db()
    return thing


@action("accession.do")
def keep_for_teaching(actor: Actor, cast: Cast, ground: str) -> EntryObject:
    """It stays with us without a line of the register: a short-lived cast for teaching or trial."""
    cast, thing = _held(cast)
    if not ground.strip():
        raise Refusal(Reason("Write what it is kept for.", "ground"))
    to_state(thing, "keep for teaching", "kept for teaching", ground=ground.strip()[:500], closed_on=today())
    close_cast(actor, cast, "kept for teaching")
    tell(cast.number, kept_for_teaching=True)
    return thing


@action("accession.do")
def same_as(actor: Actor, cast: Cast, other: Cast, ground: str = "") -> EntryObject:
    """It turned out to be a cast that has a number already: the entry's number becomes a former number of that one."""
    first, second = sorted([cast.pk, other.pk])
    held = {pk: hold_cast(pk) for pk in (first, second)}
    cast, other = held[cast.pk], held[other.pk]
    thing = object_of(cast)
    if cast.pk == other.pk:
        raise Refusal(Reason("A cast is always the same as itself. Name another one.", "same_as", said=other.number))
    if other.closed_as:
        sentence = f"{other.number} is closed as “{other.closed_as}”. Name the cast that stands."
        raise Refusal(Reason(sentence, "same_as", other.href, other.number))
    if thing is None:
        raise Hindered(f"{cast.number} did not come in by an entry.")
    to_state(
        thing, "close as the same", "same as another", same_as=other, ground=ground.strip()[:500], closed_on=today()
    )
    add_former_number(actor, other, cast.number, where_from=f"entry {thing.entry.number}, the same cast")
    close_cast(actor, cast, "same as another")
    tell(cast.number, same_as=other.number)
    return thing
