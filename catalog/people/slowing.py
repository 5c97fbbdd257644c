"""Slows whoever tries wrong passwords, without locking the right person out.

Counted in one corner: an account (or a name that is none) together with the network, or with the device where the
account signed in before. Beside it each network and each account are counted over an hour.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.utils import timezone
from django.utils.crypto import salted_hmac

from catalog.ground.limits import network_of
from catalog.ground.problems import refusal_with
from catalog.ground.refusal import Refusal
from catalog.ground.search import fold
from catalog.people import rules
from catalog.people.models import Account, Failure, KnownDevice

HOUR = timedelta(hours=1)
MINUTE = timedelta(minutes=1)
FORGOTTEN_AFTER = timedelta(days=1)
KNOWN_COOKIE = "__Host-known" if settings.TLS else "known"


@dataclass(frozen=True)
class Corner:
    """Whose password is tried, and from where. `account` None: a name that nobody has."""

    account: Account | None
    who: str
    network: str
    known: bool

    @property
    def pair(self) -> str:
        return hashed("pair", self.who, self.network)

    @property
    def everywhere(self) -> str:
        return hashed("account", self.who)

    @property
    def from_network(self) -> str:
        return hashed("network", self.network)


def hashed(*parts: str) -> str:
    """A name for a counter that tells nobody whose it is."""
    return salted_hmac("undercast.slowing", "\n".join(parts), algorithm="sha256").hexdigest()


def device_digest(cookie: str, account: Account) -> str:
    return hashlib.sha256(f"{cookie} {account.pk}".encode()).hexdigest()


def corner_of(request: Any, account: Account | None, said: str) -> Corner:
    """One query whether or not there is such an account, so that both take the same time."""
    cookie = request.COOKIES.get(KNOWN_COOKIE, "")
    digest = device_digest(cookie, account or Account(pk=0))
    known = KnownDevice.objects.filter(digest=digest).exists() and account is not None
    who = f"account {account.pk}" if account else f"name {fold(said)}"
    return Corner(account, who, digest if known else network_of(request), known)


def listen(corner: Corner) -> None:
    """Raises a 429 with the seconds to wait, or returns. Says the same for every name."""
    now = timezone.now()
    counted = {
        f.pair: f for f in Failure.objects.filter(pair__in=[corner.pair, corner.everywhere, corner.from_network])
    }
    if (mine := counted.get(corner.pair)) and now - mine.last_at < FORGOTTEN_AFTER:
        _wait_until(mine.last_at + timedelta(seconds=rules.wait_s(mine.n)), mine.n, now)
    if corner.known:
        return
    there = counted.get(corner.from_network)
    if there and now - there.first_at < HOUR and there.n >= rules.NETWORK_MOST_AN_HOUR:
        _wait_until(there.first_at + HOUR, there.n, now)
    over_all = counted.get(corner.everywhere)
    if over_all and now - over_all.first_at < HOUR and over_all.n >= rules.ACCOUNT_MOST_AN_HOUR:
        _wait_until(over_all.last_at + timedelta(seconds=rules.FIRST_WAIT_S), over_all.n, now)


def _wait_until(at: datetime, n: int, now: datetime) -> None:
    left = (at - now).total_seconds()
    if left > 0:
        raise slowed(left, n)


def slowed(seconds: float, n: int) -> Refusal:
    return refusal_with(429, rules.wait_words(seconds, n), retry_after=max(1, round(seconds)))


def refuse_after(n: int) -> None:
    """Right after the nth wrong try: the wait that begins now, if one does."""
    if seconds := rules.wait_s(n):
        raise slowed(seconds, n)


def few_enough(counter: str, most: int, within: timedelta) -> bool:
    """True while this counter stands below `most` in its running span."""
    found = (
        Failure.objects.filter(pair=counter, first_at__gt=timezone.now() - within).values_list("n", flat=True).first()
    )
    return (found or 0) < most
