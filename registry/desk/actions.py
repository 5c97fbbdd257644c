"""The one thing the desk writes: that a copy of the data was made."""

from __future__ import annotations

from django.utils import timezone

from catalog.ground.acting import action, locked, store
from catalog.ground.models import Collection
from catalog.ground.roles import Actor


@action(None)
def note_copy(actor: Actor) -> Collection:
    """A copy of database and files was made now. Said on the machine itself, by whoever made it, so no role is asked for."""
    ours = locked(Collection, pk=1)
    ours.last_copy_on = timezone.now()
    return store(ours)
