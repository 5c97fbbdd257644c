"""Every write about places: the tree, movements, home places, custody."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from django.utils import timezone

from catalog.casts.actions import hold_cast
from catalog.casts.models import Cast
from catalog.casts.subject import Subject, what_hinders
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.asks import bearer_of
from catalog.ground.collection import today
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import Actor, demand
from catalog.people.models import Person
from registry.places import reads, rules
from registry.places.models import Custody, Movement, Place, Placement

PLACE_FIELDS = ("name", "kind", "movable", "holds_kg", "fitness", "who_enters", "note")


@action("place.write")
def add_place(actor: Actor, code: str, name: str, kind: str, *, parent: Place | None = None, **more: Any) -> Place:
    """A new node of the tree. Its code is its label; crates, trays, boxes and vans are containers unless said otherwise."""
    borne = next((b for b in bearer_of(actor, code)), None)
    refuse_if(rules.wrong_code(code, borne_by=f"{borne.kind} {borne.number}" if borne else ""), Refusal)
    more.setdefault("movable", kind in rules.CONTAINER_KINDS)
    return store(Place(code=code.upper(), name=name, kind=kind, parent=parent, **more))


@action("place.write")
def change_place(actor: Actor, pk: int, changes: dict[str, Any], *, expected_version: int | None = None) -> Place:
    """Changes what is said of a place. Where a container stands is changed by moving it."""
    place = locked(Place, expected_version, pk=pk)
    for name in PLACE_FIELDS:
        if name in changes:
            setattr(place, name, changes[name])
    if "parent" in changes and not place.movable:
        _refuse_circle(place, changes["parent"])
        place.parent = changes["parent"]
    return store(place)


def _refuse_circle(place: Place, parent: Place | None) -> None:
    if parent is not None:
        refuse_if(rules.hinders_standing_in(place.code, parent.code, [p.code for p in reads.path_of(parent)]), Refusal)


@action("place.write")
def close_place(actor: Actor, pk: int) -> Place:
    """Takes an empty place out of use; its history stays."""
    place = locked(Place, pk=pk)
    if Placement.objects.filter(place=place).exists() or place.children.filter(closed_on__isnull=True).exists():
        raise Refusal(Reason(f"Something stands in {place.code}. Move it first."))
    place.closed_on = today()
    return store(place)


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
    """A cast, a piece or a container goes to a place. Contents of a container go with it.

    `at` may be earlier (what was done on Friday is typed on Monday): it takes its place in the order, and where the thing
    is now follows from the latest.
    """
    at = at or timezone.now()
    if isinstance(what, Place):
        return _move_container(actor, what, to, because=because, by=by, at=at, back_on=back_on)
    hold_cast(what.cast.pk)
    target = locked(Place, pk=to.pk)
    placement = _placement(what)
    before = reads.movement_before(what, at)
    asks = _asks_reason(what, placement)
    if asks:
        demand(actor, "move.fragile")
    there = placement.place_id == target.pk and (placement.since is None or at >= placement.since)
    refuse_if(
        rules.hinders_moving(
            what=str(what),
            target=target.code,
            closed_target=target.closed_on is not None,
            already_there=there,
            asks_reason=asks,
            because=because,
            at=at,
            now=timezone.now(),
            back_on=back_on,
        ),
        Refusal,
    )
    refuse_if(what_hinders(what, "move"))
    moved = Movement(cast=what.cast, piece=what.piece, to_place=target, at=at, by=by, because=because, back_on=back_on)
    moved.from_place = before.to_place if before else None
    store(moved)
    _settle(what, placement)
    tell(str(what), moved_to=target.code)
    return moved


def _move_container(
    actor: Actor, what: Place, to: Place, *, because: str, by: Person | None, at: datetime, back_on: date | None
) -> Movement:
    held = {
        p.pk: p for p in Place.objects.select_for_update(no_key=True).filter(pk__in=[what.pk, to.pk]).order_by("pk")
    }
    container, target = held[what.pk], held[to.pk]
    if not container.movable:
        raise Refusal(Reason(f"{container.code} is not a container: it does not move.", "what", said=container.code))
    _refuse_circle(container, target)
    refuse_if(
        rules.hinders_moving(
            what=container.code,
            target=target.code,
            closed_target=target.closed_on is not None,
            already_there=container.parent_id == target.pk,
            asks_reason="",
            because=because,
            at=at,
            now=timezone.now(),
            back_on=back_on,
        ),
        Refusal,
    )
    for placement in reads.placements_in(actor, container):
        refuse_if(what_hinders(Subject(placement.cast, placement.piece), "move"))
    before = reads.movement_before(container, at)
    moved = Movement(container=container, to_place=target, at=at, by=by, because=because, back_on=back_on)
    moved.from_place = before.to_place if before else container.parent
    store(moved)
    newest = reads.movement_before(container, timezone.now())
    if newest is not None:
        container.parent = newest.to_place
        store(container)
    return moved


def _placement(what: Subject) -> Placement:
    rows = Placement.objects.select_for_update(of=("self",), no_key=True).select_related("place")
    return rows.filter(cast=what.cast, piece=what.piece).first() or Placement(cast=what.cast, piece=what.piece)


def _asks_reason(what: Subject, placement: Placement) -> str:
    if placement.place is None:
        return ""
    if placement.place.kind in rules.FIXED_KINDS:
        return f"{what} is fixed to {placement.place.code}."
    return f"{what} is fragile." if what.cast.fragile else ""


def _settle(what: Subject, placement: Placement) -> None:
    """Where it is now follows from its latest standing movement."""
    newest = reads.movement_before(what, timezone.now())
    placement.place = newest.to_place if newest else None
    placement.since = newest.at if newest else None
    placement.back_on = newest.back_on if newest else None
    placement.movement = newest
    if placement._state.adding and placement.home is None and not what.piece:
        placement.home = placement.place
    store(placement)


@action("move.do")
def correct_movement(actor: Actor, pk: int, to: Place | None, *, because: str) -> Movement:
    """A wrong movement is followed by the right one, which stands in its place in the order. The wrong one stays readable."""
    wrong = Movement.objects.select_related("cast", "piece", "container", "to_place").get(pk=pk)
    if Movement.objects.filter(replaces=wrong).exists():
        raise Refusal(Reason("This movement was put right already. Correct the later one."))
    if not because.strip():
        raise Refusal(Reason("Write what was wrong with it.", "because"))
    if wrong.container:
        container = locked(Place, pk=wrong.container_id)
        if to:
            _refuse_circle(container, to)
        right = _right(wrong, to, because)
        newest = reads.movement_before(container, timezone.now())
        container.parent = newest.to_place if newest else None
        store(container)
        return right
    assert wrong.cast is not None
    hold_cast(wrong.cast.pk)
    subject = Subject(wrong.cast, wrong.piece)
    right = _right(wrong, to, because)
    _settle(subject, _placement(subject))
    return right


def _right(wrong: Movement, to: Place | None, because: str) -> Movement:
    made = Movement(cast=wrong.cast, piece=wrong.piece, container=wrong.container, from_place=wrong.from_place)
    made.to_place, made.at, made.by, made.because, made.replaces = to, wrong.at, wrong.by, because, wrong
    return store(made)


@action("move.do")
def undo_movement(actor: Actor, pk: int) -> Movement:
    """Takes the latest movement of a thing back: it stands where it stood before."""
    wrong = Movement.objects.select_related("cast", "piece", "container", "from_place").get(pk=pk)
    subject = wrong.container or Subject(wrong.cast, wrong.piece)  # type: ignore[arg-type]
    newest = reads.movement_before(subject, timezone.now())
    if newest is None or newest.pk != wrong.pk:
        raise Refusal(Reason("It was moved again since. Correct the movement instead."))
    return correct_movement(actor, pk, wrong.from_place, because="taken back")


@action("place.write")
def set_home(actor: Actor, what: Subject, home: Place | None) -> Placement:
    """Where it belongs, kept apart from where it is."""
    hold_cast(what.cast.pk)
    placement = _placement(what)
    placement.home = home
    return store(placement)


@action("move.do")
def take_custody(
    actor: Actor,
    cast: Cast,
    *,
    holder: Person | None = None,
    holder_words: str = "",
    ours: bool = True,
    from_words: str = "",
    at: datetime | None = None,
    by: Person | None = None,
    because: str = "",
) -> Custody:
    """From this instant somebody holds it: we, or `holder`. One line; earlier ones stay."""
    line = Custody(
        cast=cast, holder=holder, holder_words=holder_words, ours=ours, from_words=from_words, by=by, because=because
    )
    line.at = at or timezone.now()
    if line.at > timezone.now():
        raise Refusal(Reason("A hand-over that has not happened is not written.", "at"))
    return store(line)
