"""The place tree: a node added, changed, closed, opened again."""

from __future__ import annotations

from typing import Any

from catalog.ground.acting import action, locked, store
from catalog.ground.asks import bearer_of
from catalog.ground.collection import today
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.ground.search import write
from registry.places import reads, rules
from registry.places.models import Place, Placement

PLACE_FIELDS = ("name", "kind", "movable", "holds_kg", "fitness", "who_enters", "note")


@action("place.write")
def add_place(actor: Actor, code: str, name: str, kind: str, *, parent: Place | None = None, **more: Any) -> Place:
    """A new node of the tree. Its code is its label; crates, trays, boxes and vans are containers unless said otherwise."""
    borne = next((b for b in bearer_of(actor, code)), None) if code else None
    wrong = rules.wrong_code(code, borne_by=f"{borne.kind} {borne.number}" if borne else "")
    if more.get("movable") is None:
        more["movable"] = kind in rules.CONTAINER_KINDS
    place = Place(code=code.upper(), name=name.strip(), kind=kind, parent=parent, **more)
    refuse_if(wrong + _wrong(place) + _closed(parent), Refusal)
    return store(place)


def _wrong(place: Place) -> list[Reason]:
    words = {n: getattr(place, n) for n in ("who_enters", "fitness", "note")}
    kinds = [kind for kind, _ in Place.KINDS]
    return rules.wrong_place(name=place.name, kind=place.kind, kinds=kinds, holds_kg=place.holds_kg, **words)


def _closed(parent: Place | None) -> list[Reason]:
    if parent is None or parent.closed_on is None:
        return []
    return [Reason(f"{parent.code} is no longer in use. Choose another place.", "parent", said=parent.code)]


@action("place.write")
def change_place(actor: Actor, pk: int, changes: dict[str, Any], *, expected_version: int | None = None) -> Place:
    """Changes what is said of a place; only the named fields. Where a container stands is changed by moving it."""
    place = locked(Place, expected_version, pk=pk)
    before = (place.name, place.parent_id)
    for name in PLACE_FIELDS:
        if name in changes:
            setattr(place, name, changes[name])
    if "parent" in changes:
        _set_parent(place, changes["parent"])
    refuse_if(_wrong(place), Refusal)
    store(place)
    if before != (place.name, place.parent_id):
        _found_anew(place)
    return place


def _set_parent(place: Place, parent: Place | None) -> None:
    if (parent.pk if parent else None) == place.parent_id:
        return
    if place.movable:
        sentence = f"{place.code} is a container: move it, so that its way is on record."
        raise Refusal(Reason(sentence, "parent", f"/movements/new/?of={place.code}"))
    refuse_circle(place, parent, "parent")
    refuse_if(_closed(parent), Refusal)
    place.parent = parent


def refuse_circle(place: Place, into: Place | None, field: str = "to") -> None:
    """A place does not stand in itself, at any depth."""
    if into is not None:
        wrong = rules.hinders_standing_in(place.code, into.code, [p.code for p in reads.path_of(into)])
        refuse_if([Reason(r.sentence, field, said=r.said) for r in wrong], Refusal)


def _found_anew(place: Place) -> None:
    """What stands in a place is found by its name too."""
    for below in Place.objects.filter(pk__in=reads.within(place)).exclude(pk=place.pk):
        write("place", below.pk, below.search_entries())


@action("place.write")
def close_place(actor: Actor, pk: int) -> Place:
    """Takes an empty place out of use; its history stays."""
    place = locked(Place, pk=pk)
    n_in_it = Placement.objects.filter(place=place).count() + place.children.filter(closed_on__isnull=True).count()
    n_at_home = Placement.objects.filter(home=place).count()
    refuse_if(rules.hinders_closing(place.code, n_in_it=n_in_it, n_at_home=n_at_home), Refusal)
    place.closed_on = today()
    return store(place)


@action("place.write")
def open_place(actor: Actor, pk: int) -> Place:
    """Takes a closed place into use again."""
    place = locked(Place, pk=pk)
    refuse_if(_closed(place.parent), Refusal)
    place.closed_on = None
    return store(place)
