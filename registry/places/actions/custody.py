"""Who holds a thing: one line at each hand-over."""

from __future__ import annotations

from datetime import datetime

from django.utils import timezone

from catalog.casts.models import Cast
from catalog.ground.acting import action, store
from catalog.ground.refusal import Reason, Refusal
from catalog.ground.roles import Actor
from catalog.people.models import Person
from registry.places.models import Custody


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
