"""Every write about what is barred."""

from __future__ import annotations

from catalog.casts.actions import hold_cast
from catalog.casts.subject import Subject
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.collection import today
from catalog.ground.refusal import Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.people.reads import first_keeper_name
from registry.condition.models import Restriction
from registry.condition.rules import restrictions as rules
from registry.condition.said import RestrictionSaid


@action("restriction.write")
def restrict(actor: Actor, what: Subject, said: RestrictionSaid) -> Restriction:
    """Bars a deed for a cast or one piece of it, with its ground."""
    refuse_if(rules.wrong_restriction(said, today=today()), Refusal)
    hold_cast(what.cast.pk)
    made = Restriction(
        cast=what.cast, piece=what.piece, deed=said.deed, why=said.why.strip(), since=said.since or today()
    )
    made.until, made.said_by = said.until, said.said_by
    made.who_may_lift = said.who_may_lift.strip() or first_keeper_name()
    tell(str(what), barred=said.deed)
    return store(made)


@action("restriction.lift")
def lift_restriction(actor: Actor, pk: int, why: str, *, expected_version: int | None = None) -> Restriction:
    """The keeper lets it be done again, with the reason; the restriction stays readable."""
    held = locked(Restriction, expected_version, pk=pk)
    refuse_if(rules.hinders_lifting(lifted_on=held.lifted_on, why=why), Refusal)
    held.lifted_on, held.lifted_why = today(), why.strip()
    return store(held)
