"""The number is put on the object, and is gone from it again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from catalog.casts.actions import hold_cast
from catalog.casts.subject import Subject
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.people.models import Person
from registry.accessions.models import Marking
from registry.accessions.rules.marking import MarkingSaid, hinders_marking, wrong_gone, wrong_marking


@action("marking.record")
def mark_cast(actor: Actor, what: Subject, said: MarkingSaid) -> Marking:
    """Writes that the number of a cast or a piece was put on it: how, where, by whom, and whether it reads."""
    refuse_if(wrong_marking(said, today=today()), Refusal)
    cast = hold_cast(what.cast.pk)
    refuse_if(hinders_marking(str(what), closed_as=cast.closed_as))
    number = f"{cast.number}.{what.piece.suffix}" if what.piece else cast.number
    made = Marking(cast=cast, piece=what.piece, number=number, method=said.method.strip(), on=said.on or today())
    made.where, made.with_what, made.read_back = said.where.strip(), said.with_what.strip(), said.read_back
    made.by = said.by or Person.objects.filter(pk=actor.person_id or 0).first()
    tell(number, marked=made.method)
    return store(made)


@action("marking.record")
def mark_many(actor: Actor, what: Sequence[Subject], said: MarkingSaid) -> list[Marking]:
    """The same way of marking on several things: all or none."""
    return [mark_cast(actor, one, said) for one in sorted(what, key=lambda s: s.cast.pk)]


@action("marking.record")
def marking_gone(
    actor: Actor, pk: int, why: str, *, on: date | None = None, expected_version: int | None = None
) -> Marking:
    """The number is no longer on the object: since when, and why. The marking stays on record."""
    marking = locked(Marking, expected_version, pk=pk)
    if marking.gone_on:
        raise Hindered(f"{marking.number} was written as gone from the object already.")
    refuse_if(wrong_gone(why, on, since=marking.on, today=today()), Refusal)
    marking.gone_on, marking.gone_why = on or today(), why.strip()
    tell(marking.number, marking_gone=marking.gone_why)
    return store(marking)
