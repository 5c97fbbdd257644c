"""Too many at once: how often one asker may ask, counted in this process. What guards sign-ins is counted in the database.

`settings.LIMITS` maps a name to (times, seconds): `page` an account's pages, `token` a token's requests, `anonymous` a
network's, `search` and `upload` beside them. Empty or False: nothing is counted.
"""

from __future__ import annotations

import ipaddress
import threading
import time
from typing import Any

from django.conf import settings

from catalog.ground.problems import refusal_with
from catalog.ground.refusal import Refusal
from catalog.ground.roles import VISITOR, Actor

_FREE = ("/static/", "/ok/", "/sw.js")
_UPLOAD_BYTES = 64_000  # a form of words is smaller, a photograph is larger
_MOST_KEYS = 20_000

_lock = threading.Lock()
_counted: dict[tuple[str, str], tuple[float, int]] = {}


def too_many(request: Any, *, now: float | None = None) -> Refusal | None:
    """Counts this request for its asker; a 429 with the seconds to wait where it is one too many."""
    if not settings.LIMITS or request.path.startswith(_FREE):
        return None
    try:
        actor: Actor = request.actor
        known = actor.signed_in
    except Refusal as unknown_token:
        if refusal := _counted_for(request, VISITOR, now):
            return refusal
        raise unknown_token
    return _counted_for(request, actor if known else VISITOR, now)


def _counted_for(request: Any, actor: Actor, now: float | None) -> Refusal | None:
    who = actor.holder if actor.signed_in else network_of(request)
    at = time.monotonic() if now is None else now
    waits = [_wait(name, who, at) for name in _names(request, actor)]
    longest = max(waits, default=0)
    if not longest:
        return None
    return refusal_with(429, f"That is more than one asks at once. Go on in {longest} seconds.", retry_after=longest)


def _names(request: Any, actor: Actor) -> list[str]:
    names = ["token" if actor.by_token else "page" if actor.signed_in else "anonymous"]
    if request.path == "/find/" and request.GET.get("q"):
        names.append("search")
    sent = request.META.get("CONTENT_LENGTH") or "0"
    if request.method == "POST" and sent.isdigit() and int(sent) > _UPLOAD_BYTES:
        names.append("upload")
    return names


def _wait(name: str, who: str, now: float) -> int:
    """Seconds until `who` may go on; 0 where it is within the limit."""
    times, seconds = settings.LIMITS[name]
    with _lock:
        if len(_counted) > _MOST_KEYS:
            _forget_old(now)
        began, n = _counted.get((name, who), (now, 0))
        if now - began >= seconds:
            began, n = now, 0
        _counted[name, who] = (began, n + 1)
    return 0 if n < times else max(1, round(began + seconds - now))


def _forget_old(now: float) -> None:
    longest = max(seconds for _, seconds in settings.LIMITS.values())
    for key in [k for k, (began, _) in _counted.items() if now - began >= longest]:
        del _counted[key]
    if len(_counted) > _MOST_KEYS:
        _counted.clear()


def network_of(request: Any) -> str:
    """The asker's network: /24 of IPv4, /64 of IPv6."""
    said = request.META.get("REMOTE_ADDR") or "127.0.0.1"
    try:
        address = ipaddress.ip_address(said)
    except ValueError:
        return str(said)
    if isinstance(address, ipaddress.IPv6Address) and address.ipv4_mapped:
        address = address.ipv4_mapped
    return str(ipaddress.ip_network(f"{address}/{24 if address.version == 4 else 64}", strict=False))


def begin_anew() -> None:
    """Forgets what was counted."""
    with _lock:
        _counted.clear()
