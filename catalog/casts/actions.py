"""Every write about casts, their numbers, determinations and pieces."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from catalog.casts import rules
from catalog.casts.models import Cast, CastPerson, Determination, FormerNumber, OldNumber, Piece
from catalog.casts.numbers import sort_text
from catalog.casts.subject import Subject, cast_left, excavation_changed, what_hinders
from catalog.ground.acting import action, locked, store, store_many
from catalog.ground.collection import collection, today
from catalog.ground.edtf import read_edtf
from catalog.ground.past import state_at
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import Actor, demand
from catalog.ground.search import squeeze
from catalog.people.models import Person
from catalog.taxa.models import Taxon


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


@action("determination.propose")
def determine(
    actor: Actor,
    cast: Cast,
    *,
    ground: str,
    taxon: Taxon | None = None,
    words: str = "",
    qualifier: str = "",
    by: Person | None = None,
    on: str = "",
    remark: str = "",
) -> Determination:
    """Someone says which animal it is. Earlier determinations stay; the keeper accepts one."""
    if not taxon and not words.strip():
        raise Refusal(Reason("Name an animal, or write what it may be.", "taxon"))
    made = Determination(
        cast=cast,
        taxon=taxon,
        words=words,
        qualifier=qualifier,
        by=by,
        on=on,
        ground=ground,
        remark=remark,
        proposed_by_id=actor.account_id or 0,
    )
    return store(made)


@action("determination.accept")
def accept_determination(actor: Actor, pk: int, *, witness: str = "") -> Determination:
    """Makes one determination the current one; another than who proposed it, or before a witness in a collection of one."""
    chosen = locked(Determination, pk=pk)
    cast = hold_cast(chosen.cast_id)
    demand(actor, "determination.accept", chosen)
    refuse_if(rules.hinders_accepting(accepted=chosen.accepted))
    for earlier in Determination.objects.filter(cast=cast, accepted=True):
        earlier.accepted = False
        store(earlier)
    chosen.accepted, chosen.accepted_by_id, chosen.accepted_on = True, actor.account_id, today()
    if chosen.proposed_by_id == actor.account_id:
        chosen.single_handed, chosen.witness = True, witness or actor.alone_before
    store(chosen)
    cast.taxon, cast.qualifier = chosen.taxon, chosen.qualifier
    if chosen.words and not chosen.taxon:
        cast.animal_words = chosen.words
    store(cast)
    return chosen


@action("tray.enter")
def add_pieces(actor: Actor, cast: Cast, pieces: Iterable[Mapping[str, Any]]) -> list[Piece]:
    """Lists pieces of a held cast: `suffix` (empty: the next), `kind`, `mass_g`, `mass_state`, `from_cm`, `to_cm`, `lift`, `note`."""
    there = list(Piece.objects.filter(cast=cast).values_list("suffix", flat=True))
    free = max((int(s) for s in there if s.isdigit()), default=0)
    said = []
    for one in pieces:
        facts = dict(one)
        if not facts.get("suffix"):
            free += 1
            facts["suffix"] = str(free)
        said.append(facts)
    refuse_if(rules.hinders_pieces([s["suffix"] for s in said], there=there), Refusal)
    return store_many([Piece(cast=cast, sort=sort_text(s["suffix"]), **s) for s in said])


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
