"""Each sign-in opens a visit; a visit that is not seen for twelve hours, or is thirty days old, is over."""

from __future__ import annotations

import time
from typing import Any

from django.contrib.auth.signals import user_logged_in, user_logged_out
from django.dispatch import receiver
from django.utils import timezone

from catalog.ground.limits import network_of
from catalog.ground.roles import HOUSE
from catalog.people import rules
from catalog.people.actions import visits

_BEGAN, _SEEN = "visit_began", "visit_seen"
_SEEN_EVERY_S = 300


@receiver(user_logged_in, dispatch_uid="undercast.visit")
def open_visit(sender: Any, request: Any, user: Any, **rest: Any) -> None:
    now = time.time()
    request.session[_BEGAN] = request.session[_SEEN] = now
    if not request.session.session_key:
        request.session.create()
    device = device_words(request.META.get("HTTP_USER_AGENT", ""))
    visits.begin_visit(HOUSE, user, request.session.session_key, device, network_of(request))


@receiver(user_logged_out, dispatch_uid="undercast.visit-over")
def close_visit(sender: Any, request: Any, user: Any, **rest: Any) -> None:
    if user is not None and request.session.session_key:
        visits.close_visit(request.session.session_key)


def still_open(request: Any) -> bool:
    """False, and the session is ended, when it is older than thirty days. Notes every five minutes that it was seen."""
    session, now = request.session, time.time()
    if now - session.get(_BEGAN, now) > rules.VISIT_DAYS * 86_400:
        visits.close_visit(session.session_key)
        session.flush()
        return False
    if now - session.get(_SEEN, 0) > _SEEN_EVERY_S:
        session[_SEEN] = now
        visits.see_visit(session.session_key, timezone.now())
    return True


def renew(request: Any) -> None:
    """A new key for the session at the rise of its rights; the visit goes on."""
    before = request.session.session_key
    request.session.cycle_key()
    visits.renew_visit(HOUSE, before, request.session.session_key)


_BROWSERS = [("Edg", "Edge"), ("OPR", "Opera"), ("Firefox", "Firefox"), ("Chrome", "Chrome"), ("Safari", "Safari")]
_SYSTEMS = [
    ("iPhone", "an iPhone"),
    ("iPad", "an iPad"),
    ("Android", "an Android device"),
    ("Windows", "Windows"),
    ("Mac OS", "a Mac"),
    ("Linux", "Linux"),
]


def device_words(agent: str) -> str:
    """`Firefox on Linux`: as much of a browser's description of itself as tells one's own devices apart."""
    browser = next((words for sign, words in _BROWSERS if sign in agent), "A browser")
    system = next((words for sign, words in _SYSTEMS if sign in agent), "")
    return f"{browser} on {system}" if system else browser
