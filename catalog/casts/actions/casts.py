"""Every write about casts and their numbers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from catalog.casts.models import Cast, CastPerson, FormerNumber, OldNumber, Piece
from catalog.casts.numbers import sort_text
from catalog.casts.rules import casts as rules
from catalog.casts.subject import Subject, cast_left, excavation_changed, what_hinders
from catalog.ground.acting import action, locked, store
from catalog.ground.collection import collection, today
from catalog.ground.edtf import read_edtf
from catalog.ground.past import state_at
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.ground.search import squeeze
from catalog.people.models import Person


def hold_cast(pk: int, expected_version: int | None = None) -> Cast:
    """The cast, locked until the act ends."""
    return locked(Cast, expected_version, pk=pk)


@action("cast.describe")
def record_cast(actor: Actor, number: str, changes: Mapping[str, Any]) -> Cast:
    """A new cast under its first number, described as far as known."""
    _refuse_taken(number)
    cast = Cast(number=number, sort=sort_text(number))
    _describe(cast, changes)
    return store(cast)


@action("cast.describe")
def describe_cast(actor: Actor, pk: int, changes: Mapping[str, Any], *, expected_version: int | None = None) -> Cast:
    """Changes what is said of a cast; only the named fields."""
    cast = hold_cast(pk, expected_version)
    before = cast.excavation_id
    _describe(cast, changes)
    store(cast)
    if cast.excavation_id != before:
        excavation_changed(cast)
    return cast


def _describe(cast: Cast, changes: Mapping[str, Any]) -> None:
    dates = dict(changes)
    span = _span(cast, str(dates.get("made_on") or ""))
    refuse_if(rules.wrong_in(dates, today=today(), made_latest=span[1]), Refusal)
    for name, value in dates.items():
        setattr(cast, name, value)
    if "made_on" in dates:
        cast.made_earliest, cast.made_latest = span


def _span(cast: Cast, text: str) -> tuple[Any, Any]:
    if not text:
        return None, None
    try:
        span = read_edtf(text, south=collection().south)
    except ValueError as error:
        raise Refusal(Reason(str(error), "made_on", said=text)) from None
    return span.earliest, span.latest


def _refuse_taken(number: str) -> None:
    taken = (
        Cast.objects.filter(number__iexact=number).exists() or OldNumber.objects.filter(number__iexact=number).exists()
    )
    refuse_if(rules.hinders_renumbering(number, taken=taken), Refusal)


@action("cast.describe")
def renumber_cast(actor: Actor, cast: Cast, number: str, *, year: int | None = None) -> Cast:
    """Gives a held cast its new number; the old one leads on for ever."""
    if number.lower() != cast.number.lower():
        _refuse_taken(number)
        store(OldNumber(number=cast.number, cast=cast))
    cast.number, cast.sort, cast.year = number, sort_text(number), year or cast.year
    return store(cast)


@action("cast.describe")
def add_former_number(
    actor: Actor, cast: Cast, text: str, *, where_from: str = "", piece: Piece | None = None
) -> FormerNumber:
    """Keeps an older number or tag, letter for letter."""
    if not text.strip():
        raise Refusal(Reason("Write the number as it stands on the tag.", "text"))
    if len(text) > 300:
        raise Refusal(Reason("At most 300 letters. Photograph a longer label.", "text"))
    there = FormerNumber.objects.filter(cast=cast, piece=piece, text=text, where_from=where_from).first()
    if there:
        return there
    made = store(FormerNumber(cast=cast, piece=piece, text=text, key=squeeze(text), where_from=where_from))
    _touch(cast)
    return made


def _touch(cast: Cast) -> None:
    """What stands beside a cast changed: its search entry is written anew."""
    from catalog.ground.search import write

    write("cast", cast.pk, cast.search_entries())


@action("cast.describe")
def name_person(actor: Actor, cast: Cast, person: Person, did: str = "") -> CastPerson:
    """Who had a hand in it, and how."""
    there = CastPerson.objects.filter(cast=cast, person=person, did=did).first()
    made = there or store(CastPerson(cast=cast, person=person, did=did))
    _touch(cast)
    return made


@action("cast.describe")
def describe_with_numbers(
    actor: Actor, pk: int, changes: Mapping[str, Any], former_numbers: Iterable[str], *, expected_version: int
) -> Cast:
    """A description and the former numbers that came with it, in one act."""
    cast = describe_cast(actor, pk, changes, expected_version=expected_version)
    for text in former_numbers:
        add_former_number(actor, cast, text)
    return cast


UNDOABLE = rules.DESCRIBABLE


@action("cast.describe")
def undo_change(actor: Actor, pk: int, version: int) -> Cast:
    """Writes the values before the change that made `version` again, as a new version; refused where they changed since."""
    cast = hold_cast(pk)
    before, after = state_at(cast, version - 1), state_at(cast, version)
    columns = [f.attname for f in Cast._meta.concrete_fields if f.name in UNDOABLE | {"made_earliest", "made_latest"}]
    changed = [c for c in columns if before and after and before[c] != after[c]]
    since = [c for c in changed if getattr(cast, c) != after[c]]
    if not changed:
        raise Refusal("There is nothing in that change that can be undone.")
    refuse_if([Reason("It was changed again since. Change it by hand.", c) for c in since])
    for column in changed:
        setattr(cast, column, before[column])
    store(cast)
    if "excavation_id" in changed:
        excavation_changed(cast)
    return cast


@action("cast.publish")
def set_published(actor: Actor, pk: int, on: date | None) -> Cast:
    """Visitors may read of the cast from this day, or (None) no longer."""
    cast = hold_cast(pk)
    cast.published_on = on
    return store(cast)


@action("cast.describe")
def close_cast(actor: Actor, cast: Cast, closed_as: str) -> list[str]:
    """The cast goes out of our care, or turns out to be another: what follows in other rooms, in sentences."""
    refuse_if(what_hinders(Subject(cast), "dispose"))
    cast.closed_as = closed_as
    store(cast)
    return cast_left(cast, closed_as)
