"""To Today and to the box: what is past its day, what stands in a van, which place bears a code."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from catalog.ground import say
from catalog.ground.asks import Bearer, Duty, bearer_of, todays_work
from catalog.ground.collection import local, today
from catalog.ground.roles import Actor, may
from registry.places import reads

_MOST = 50
_IN_A_VAN = timedelta(hours=24)


@bearer_of.answer
def places(reader: Actor, text: str) -> list[Bearer]:
    if not may(reader, "place.read"):
        return []
    place = reads.place_coded(reader, text)
    if place is None:
        return []
    kind = "container" if place.movable else "place"
    return [Bearer(kind, place.code, place.name, place.href, place.pk)]


@todays_work.answer
def past_their_day(reader: Actor) -> list[Duty]:
    """What was to be back by a day that is over."""
    if not may(reader, "move.do"):
        return []
    found = []
    for placed in reads.overdue(reader)[:_MOST]:
        number, where = str(placed.thing), reads.where_words_long(placed.place)
        sentence = f"{number} was to be back by {say.day(placed.back_on)}; it is still {where}."
        found.append(Duty(sentence, placed.thing.href, placed.back_on, "late", number=number, act="Open it"))
    for moved in reads.overdue_containers(reader)[:_MOST]:
        where = reads.where_words_long(moved.to_place)
        sentence = f"{moved.number} was to be back by {say.day(moved.back_on)}; it is still {where}."
        found.append(Duty(sentence, moved.thing.href, moved.back_on, "late", number=moved.number, act="Open it"))
    return found


@todays_work.answer
def in_a_van(reader: Actor) -> list[Duty]:
    """What has stood in a van for more than a day."""
    if not may(reader, "move.do"):
        return []
    limit, found = timezone.now() - _IN_A_VAN, []
    for number, van, since in reads.in_vans_since(reader, limit, most=_MOST):
        day = local(since).date()
        sentence = f"{number} is in {van} since {say.day_near(day, today())}. Bring it to its place."
        found.append(Duty(sentence, f"/movements/new/?of={number}", day, "late", number=number, act="Move it"))
    return found
