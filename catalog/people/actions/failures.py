"""Wrong sign-ins are counted: from one corner, from one network, for one account."""

from __future__ import annotations

from datetime import timedelta

from django.utils import timezone

from catalog.ground.acting import action
from catalog.ground.roles import HOUSE, Actor
from catalog.people import rules
from catalog.people.models import Failure
from catalog.people.slowing import FORGOTTEN_AFTER, HOUR, Corner


def note_failure(corner: Corner) -> int:
    """Counts a wrong try; returns how many there were from this corner. The owner hears of it once."""
    return _note(HOUSE, corner)


@action(None)
def _note(actor: Actor, corner: Corner) -> int:
    n = count(corner.pair, FORGOTTEN_AFTER, since_last=True)
    count(corner.from_network, HOUR)
    over_all = count(corner.everywhere, HOUR)
    if over_all == rules.ACCOUNT_MOST_AN_HOUR and corner.account and corner.account.email:
        from catalog.people.tasks import send_warning

        send_warning.enqueue(corner.account.pk, timezone.now().isoformat())
    return n


def forget_failures(corner: Corner) -> None:
    """A good sign-in clears its own corner and no other."""
    Failure.objects.filter(pair=corner.pair).delete()


def count_one(counter: str, within: timedelta) -> int:
    """Counts one thing under a counter of its own: an unknown link, an asked-for letter."""
    return _count_one(HOUSE, counter, within)


@action(None)
def _count_one(actor: Actor, counter: str, within: timedelta) -> int:
    return count(counter, within)


def count(counter: str, within: timedelta, *, since_last: bool = False) -> int:
    """One more under this counter, which begins anew when its span is over."""
    now = timezone.now()
    Failure.objects.bulk_create([Failure(pair=counter, n=0, first_at=now, last_at=now)], ignore_conflicts=True)
    found = Failure.objects.select_for_update(no_key=True).get(pair=counter)
    if now - (found.last_at if since_last else found.first_at) >= within:
        found.n, found.first_at = 0, now
    found.n, found.last_at = found.n + 1, now
    found.save(update_fields=["n", "first_at", "last_at"])
    return found.n
