"""Sessions that are open, and the devices they are on. None of this is history: it is tidied away."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib.sessions.models import Session
from django.utils import timezone

from catalog.ground.acting import action, store
from catalog.ground.refusal import NotFound
from catalog.ground.roles import HOUSE, Actor
from catalog.people.models import Account, KnownDevice, Visit
from catalog.people.sessions import kept_key
from catalog.people.shown_once import is_link, new_link
from catalog.people.slowing import device_digest


@action(None)
def begin_visit(actor: Actor, account: Account, session_key: str, device: str, network: str) -> Visit:
    now = timezone.now()
    Visit.objects.filter(session_key=kept_key(session_key)).delete()
    facts: dict[str, Any] = {"account": account, "session_key": kept_key(session_key), "device": device[:200]}
    return store(Visit(**facts, network=network[:60], began_at=now, last_seen_at=now))


def see_visit(session_key: str, at: datetime) -> None:
    """Last seen: a figure beside the records, written at most every five minutes."""
    Visit.objects.filter(session_key=kept_key(session_key)).update(last_seen_at=at)


def close_visit(session_key: str) -> None:
    """Signed out: the visit is over."""
    Visit.objects.filter(session_key=kept_key(session_key)).delete()


@action(None)
def renew_visit(actor: Actor, old_key: str, new_key: str) -> None:
    """The session got a new key: its visit goes on under it."""
    Visit.objects.filter(session_key=kept_key(old_key)).update(session_key=kept_key(new_key))


@action("self.write")
def end_visit(actor: Actor, pk: int) -> None:
    """Ends one session of one's own."""
    visit = Visit.objects.filter(pk=pk, account_id=actor.account_id or 0).first()
    if visit is None:
        raise NotFound("This session is not yours, or it is over already.")
    _end(Visit.objects.filter(pk=visit.pk))


@action("self.write")
def end_sessions(actor: Actor, *, but: str = "") -> int:
    """Ends one's own sessions, all but the one with the key `but`. Returns how many."""
    return _end(Visit.objects.filter(account_id=actor.account_id or 0).exclude(session_key=kept_key(but)))


def end_all_visits(account: Account, *, but: str = "") -> int:
    """For an action that runs: at a new password, another role, a closed account."""
    return _end(Visit.objects.filter(account=account).exclude(session_key=kept_key(but)))


def _end(visits: Any) -> int:
    keys = list(visits.values_list("session_key", flat=True))
    Session.objects.filter(session_key__in=keys).delete()
    Visit.objects.filter(session_key__in=keys).delete()
    return len(keys)


def know_device(account: Account, cookie: str) -> str:
    """Notes that this account signed in on this device; returns the cookie that says so."""
    cookie = cookie if is_link(cookie) else new_link()
    _note_device(HOUSE, account, device_digest(cookie, account))
    return cookie


@action(None)
def _note_device(actor: Actor, account: Account, digest: str) -> None:
    now = timezone.now()
    if not KnownDevice.objects.filter(digest=digest).update(at=now):
        store(KnownDevice(account=account, digest=digest, at=now))
