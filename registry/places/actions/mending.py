"""A wrong movement is never edited: it is followed by the right one, or taken back."""

from __future__ import annotations

from django.utils import timezone

from catalog.casts.actions import hold_cast
from catalog.casts.subject import Subject
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from registry.places import reads
from registry.places.actions.moving import placement_held, settle, settle_container
from registry.places.actions.tree import refuse_circle
from registry.places.models import Movement, Place


@action("move.do")
def correct_movement(actor: Actor, pk: int, to: Place | None, *, because: str) -> Movement:
    """A wrong movement is followed by the right one, which stands in its place in the order. The wrong one stays readable."""
    wrong = _movement(pk)
    if Movement.objects.filter(replaces=wrong).exists():
        raise Refusal(Reason("This movement was put right already. Correct the later one."))
    if not because.strip():
        raise Refusal(Reason("Write what was wrong with it.", "because"))
    if len(because) > 300:
        raise Refusal(Reason(f"Shorten this to 300 letters; it has {len(because)}.", "because"))
    if to is not None and to.pk == wrong.to_place_id:
        raise Refusal(Reason(f"It says {to.code} already.", "to", said=to.code))
    if to is not None and to.closed_on is not None:
        raise Refusal(Reason(f"{to.code} is no longer in use. Choose another place.", "to", said=to.code))
    right = _of_container(wrong, to, because) if wrong.container_id else _of_cast(wrong, to, because)
    tell(right.number, put_right=to.code if to else "")
    return right


def _movement(pk: int) -> Movement:
    rows = Movement.objects.select_related("cast", "piece__cast", "container", "from_place", "to_place")
    found = rows.filter(pk=pk).first()
    if found is None:
        raise NotFound("This is not a movement of ours.")
    return found


def _of_container(wrong: Movement, to: Place | None, because: str) -> Movement:
    container = locked(Place, pk=wrong.container_id)
    if to:
        refuse_circle(container, to)
    right = _right(wrong, to, because)
    settle_container(container)
    return right


def _of_cast(wrong: Movement, to: Place | None, because: str) -> Movement:
    assert wrong.cast is not None
    hold_cast(wrong.cast.pk)
    along = reads.went_along(wrong)
    right = _right(wrong, to, because)
    for one in (wrong, *along):
        if one is not wrong:
            _right(one, to, because)
        subject = Subject(wrong.cast, one.piece)
        settle(subject, placement_held(subject))
    return right


def _right(wrong: Movement, to: Place | None, because: str) -> Movement:
    made = Movement(cast=wrong.cast, piece=wrong.piece, container=wrong.container, from_place=wrong.from_place)
    made.to_place, made.at, made.by, made.because, made.replaces = to, wrong.at, wrong.by, because, wrong
    return store(made)


@action("move.do")
def undo_movement(actor: Actor, pk: int) -> Movement:
    """Takes the latest movement of a thing back: it stands where it stood before."""
    wrong = _movement(pk)
    newest = reads.movement_before(reads.subject_of_move(wrong), timezone.now())
    if newest is None or newest.pk != wrong.pk:
        raise Refusal(Reason("It was moved again since. Correct the movement instead."))
    return correct_movement(actor, pk, wrong.from_place, because="taken back")
