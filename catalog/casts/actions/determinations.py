"""Who says which animal it is, and which of them the keeper accepts."""

from __future__ import annotations

from catalog.casts.actions.casts import hold_cast
from catalog.casts.models import Cast, Determination
from catalog.casts.rules.casts import hinders_accepting
from catalog.ground.acting import action, locked, store
from catalog.ground.collection import today
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import Actor, demand
from catalog.people.models import Person
from catalog.taxa.models import Taxon


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
    refuse_if(hinders_accepting(accepted=chosen.accepted))
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
