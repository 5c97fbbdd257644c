"""Every write about marks on photographs."""

from __future__ import annotations

from catalog.ground.acting import action, locked, store
from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.media.asks import holds_mark
from catalog.media.models import Annotation, Photograph
from catalog.media.shapes import read_shape, wrong_in_shape
from catalog.people.models import Person


@action("mark.draw")
def mark(
    actor: Actor,
    photograph: Photograph,
    shape: str,
    position: str,
    words: str = "",
    *,
    radius_px: int | None = None,
    by: Person | None = None,
) -> Annotation:
    """Marks a point, a line or an area of a photograph. `position`: pixels of the upright original, `410,220 480,260`.

    Refused, with the place named, where it lies outside the picture.
    """
    if photograph.withdrawn_on is not None:
        raise Hindered("This photograph was taken off. Put it back first, or mark another.")
    width, height = photograph.width_px or 0, photograph.height_px or 0
    refuse_if(wrong_in_shape(shape, position, radius_px, width=width, height=height), Refusal)
    if len(words) > 500:
        raise Refusal(Reason(f"Shorten this to 500 letters; it has {len(words)}.", "words"))
    drawn = read_shape(shape, position, radius_px, width=width, height=height)
    return store(
        Annotation(
            photograph=photograph,
            shape=shape,
            points=drawn.text,
            radius_px=drawn.radius_px,
            words=words.strip(),
            by_id=by.pk if by else actor.person_id,
        )
    )


@action("mark.draw")
def unmark(actor: Actor, pk: int, because: str, *, expected_version: int | None = None) -> Annotation:
    """Takes a mark off its photograph, with the reason; what a signed paper rests on stays."""
    held = locked(Annotation, expected_version, pk=pk)
    if held.taken_off_on is not None:
        raise Hindered("This mark was taken off already.")
    if not because.strip():
        raise Refusal(Reason("Write why it is taken off.", "because"))
    if len(because.strip()) > 300:
        raise Refusal(Reason(f"Shorten this to 300 letters; it has {len(because.strip())}.", "because"))
    refuse_if(holds_mark(held))
    held.taken_off_on, held.taken_off_why = today(), because.strip()
    return store(held)
