"""Every write about names of animals."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from catalog.ground.acting import action, locked, store
from catalog.ground.refusal import Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.taxa import reads
from catalog.taxa.asks import name_corrected
from catalog.taxa.models import Taxon
from catalog.taxa.rules import tidied, wrong_in

_RANKS = [rank for rank, _ in Taxon.RANKS]


@action("taxon.write")
def add_name(actor: Actor, said: Mapping[str, Any]) -> Taxon:
    """A name on the list: `name` and, as far as known, `author rank common_name group kingdom phylum class_name order family note`."""
    return store(_filled(Taxon(), {"name": "", **said}))


@action("taxon.write")
def correct_name(actor: Actor, pk: int, said: Mapping[str, Any], *, expected_version: int | None = None) -> Taxon:
    """Puts a name right, only in the named fields. Determinations go on pointing at it."""
    taxon = store(_filled(locked(Taxon, expected_version, pk=pk), said))
    name_corrected(taxon)
    return taxon


def _filled(taxon: Taxon, said: Mapping[str, Any]) -> Taxon:
    facts = tidied(said)
    name, author = facts.get("name", taxon.name), facts.get("author", taxon.author)
    there = reads.same_name(name, author, but=taxon.pk)
    refuse_if(wrong_in(facts, ranks=_RANKS, there=there.href if there else ""), Refusal)
    for field, value in facts.items():
        setattr(taxon, field, value)
    return taxon
