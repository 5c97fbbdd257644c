"""What the desk itself has to say to Today: when the last copy of the data was made."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from catalog.ground import say
from catalog.ground.asks import Duty, todays_work
from catalog.ground.collection import collection, local
from catalog.ground.roles import Actor, may

_LONGEST_WITHOUT = timedelta(hours=36)
_HOW = "The README says how, under “How to keep it safe”."


@todays_work.answer
def no_copy_lately(reader: Actor) -> list[Duty]:
    """For the registrar and the keeper: no copy of the data was made for 36 hours, or ever."""
    if not may(reader, "backup.read"):
        return []
    made_at = collection().last_copy_on
    if made_at is None:
        sentence = f"No copy of the data was ever made. {_HOW}"
        return [Duty(sentence, "/help/keep-it-safe/", weight="late", act="Read how")]
    if timezone.now() - made_at <= _LONGEST_WITHOUT:
        return []
    last_on = local(made_at).date()
    sentence = f"No copy of the data was made since {say.day(last_on)}. {_HOW}"
    return [Duty(sentence, "/help/keep-it-safe/", since=last_on, weight="late", act="Read how")]
