"""A cast, a piece or a container goes to a place; where things belong; what leaves the house."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.utils import timezone

from catalog.casts.actions import hold_cast
from catalog.casts.models import Cast
from catalog.casts.subject import Subject, what_hinders, what_hinders_any
from catalog.ground.acting import action, locked, store, store_many, tell
from catalog.ground.collection import local
from catalog.ground.refusal import Reason, Refusal, Stale, refuse_if
from catalog.ground.roles import Actor, demand
from catalog.people.models import Person
from registry.places import reads, rules
from registry.places.actions.tree import refuse_circle
from registry.places.asks import what_hinders_putting
from registry.places.models import Movement, Place, Placement


@dataclass(frozen=True)
class _How:
    """Why, by whom, when, and until when it is moved."""

    because: str
    by: Person | None
    at: datetime
    back_on: date | None

    def movement(self, **which: object) -> Movement:
        return Movement(because=self.because, by=self.by, at=self.at, back_on=self.back_on, **which)


@action("move.do")
def move(
    actor: Actor,
    what: Subject | Place,
    to: Place,
    *,
    because: str = "",
    by: Person | None = None,
    at: datetime | None = None,
    back_on: date | None = None,
) -> Movement:
    """A cast, a piece or a container goes to a place. Contents of a container go with it, pieces beside their cast too.

    `at` may be earlier (what was done on Friday is typed on Monday): it takes its place in the order, and where the thing
    is now follows from the latest.
    """
    how = _How(because, by, at or timezone.now(), back_on)
    moved = _move_container(actor, what, to, how) if isinstance(what, Place) else _move_cast(actor, what, to, how)
    tell(str(what), moved_to=to.code)
    return moved


def _move_cast(actor: Actor, what: Subject, to: Place, how: _How) -> Movement:
    cast = hold_cast(what.cast.pk)
    what, target = Subject(cast, what.piece), locked(Place, pk=to.pk)
    placement, origin = placement_held(what), reads.stood_at(what, how.at)
    why = _asks_reason(what, placement)
    if why:
        demand(actor, "move.fragile")
    there = placement.place_id == target.pk and (placement.since is None or how.at >= placement.since)
    facts = rules.Moving(
        str(what),
        target.code,
        how.at,
        local(how.at).date(),
        timezone.now(),
        because=how.because,
        back_on=how.back_on,
        closed_target=target.closed_on is not None,
        already_there=there,
        in_parts=bool(what.piece and not what.piece.present),
        gone="" if cast.closed_as == "kept for teaching" else cast.closed_as,
        asks_reason=why,
        load=reads.load_of(actor, target, what),
    )
    refuse_if(rules.hinders_moving(facts), Refusal)
    refuse_if(what_hinders(what, "move") + what_hinders_putting(target))
    along = [] if what.piece else reads.goes_along(cast, placement, how.at)
    moved = store(how.movement(cast=cast, piece=what.piece, from_place=origin, to_place=target))
    settle(what, placement)
    _take_along(along, target, how)
    return moved


def _take_along(along: list[Placement], target: Place | None, how: _How) -> None:
    """Pieces that stood beside their cast: each has its own movement, so that its own history is whole."""
    moves = [how.movement(cast=p.cast, piece=p.piece, from_place_id=p.place_id, to_place=target) for p in along]
    for placement, moved in zip(along, store_many(moves), strict=True):
        placement.place, placement.since, placement.back_on, placement.movement = target, how.at, how.back_on, moved
        store(placement)


def _move_container(actor: Actor, what: Place, to: Place, how: _How) -> Movement:
    rows = Place.objects.select_for_update(no_key=True).filter(pk__in=[what.pk, to.pk]).order_by("pk")
    held = {p.pk: p for p in rows}
    container, target = held[what.pk], held[to.pk]
    if not container.movable:
        raise Refusal(Reason(f"{container.code} is not a container: it does not move.", "what", said=container.code))
    refuse_circle(container, target)
    newest = reads.movement_before(container, timezone.now())
    facts = rules.Moving(
        container.code,
        target.code,
        how.at,
        local(how.at).date(),
        timezone.now(),
        because=how.because,
        back_on=how.back_on,
        closed_target=target.closed_on is not None,
        already_there=container.parent_id == target.pk and (newest is None or how.at >= newest.at),
        gone="it is no longer in use" if container.closed_on else "",
        load=reads.load_of(actor, target, container),
    )
    refuse_if(rules.hinders_moving(facts), Refusal)
    inside = reads.placements_in(actor, container)
    refuse_if(what_hinders_any([Subject(p.cast, p.piece) for p in inside], "move") + what_hinders_putting(target))
    before = reads.movement_before(container, how.at)
    origin = before.to_place if before else container.parent
    moved = store(how.movement(container=container, from_place=origin, to_place=target))
    settle_container(container)
    return moved


def placement_held(what: Subject) -> Placement:
    """Its placement, held until the act ends; a new one where it has none yet."""
    rows = Placement.objects.select_for_update(of=("self",), no_key=True).select_related("place")
    return rows.filter(cast=what.cast, piece=what.piece).first() or Placement(cast=what.cast, piece=what.piece)


def _asks_reason(what: Subject, placement: Placement) -> str:
    if placement.place is None:
        return ""
    fixed = placement.place.code if placement.place.kind in rules.FIXED_KINDS else ""
    return rules.asks_reason(str(what), fixed_to=fixed, fragile=what.cast.fragile)


def settle(what: Subject, placement: Placement) -> None:
    """Where it is now follows from its latest standing movement."""
    newest = reads.movement_before(what, timezone.now())
    placement.place = newest.to_place if newest else None
    placement.since = newest.at if newest else None
    placement.back_on = newest.back_on if newest else None
    placement.movement = newest
    if placement._state.adding and placement.home is None and not what.piece:
        placement.home = placement.place
    store(placement)


def settle_container(container: Place) -> None:
    newest = reads.movement_before(container, timezone.now())
    if newest is not None:
        container.parent = newest.to_place
        store(container)


@action("move.do")
def leave_house(actor: Actor, cast: Cast, *, because: str) -> list[Movement]:
    """A cast went out of our care: from now on it stands nowhere in our house, nor do its pieces. Empty where it stood nowhere."""
    hold_cast(cast.pk)
    rows = Placement.objects.select_for_update(of=("self",), no_key=True).select_related("cast", "piece__cast")
    placed = list(rows.filter(cast=cast, place__isnull=False).order_by("pk"))
    how = _How(because[:300], reads.me(actor), timezone.now(), None)
    _take_along(placed, None, how)
    return [p.movement for p in placed if p.movement]


@action("place.write")
def set_home(actor: Actor, what: Subject, home: Place | None, *, expected_version: int | None = None) -> Placement:
    """Where it belongs, kept apart from where it is. `expected_version` is that of its placement, 0 where it has none."""
    hold_cast(what.cast.pk)
    placement = placement_held(what)
    seen = 0 if placement._state.adding else placement.version
    if expected_version is not None and seen != expected_version:
        raise Stale("Somebody saved before you.", now=placement)
    if home is not None and home.closed_on is not None:
        raise Refusal(Reason(f"{home.code} is no longer in use. Choose another place.", "home", said=home.code))
    placement.home = home
    return store(placement)
