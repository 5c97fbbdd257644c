"""What was opened last by its number, kept on the device in a signed cookie of the session: no record, no write."""

from __future__ import annotations

from typing import Any
from urllib.parse import unquote

from django.conf import settings
from django.core.signing import BadSignature
from django.http import HttpResponse, HttpResponseRedirect

from catalog.casts.numbers import public_path_part

_COOKIE = "opened"
_MOST = 6


def opened_last(request: Any) -> list[str]:
    """Numbers that this account opened last on this device, newest first."""
    try:
        who, *numbers = request.get_signed_cookie(_COOKIE, default="").split("|")
    except BadSignature:
        return []
    return [unquote(n) for n in numbers] if request.actor.staff and who == str(request.actor.account_id) else []


def noted(request: Any, response: HttpResponse, number: str) -> HttpResponse:
    """The same answer, and the device remembers the number."""
    if number and request.actor.staff:
        kept = [number, *(n for n in opened_last(request) if n != number)][:_MOST]
        value = "|".join([str(request.actor.account_id), *map(public_path_part, kept)])
        response.set_signed_cookie(_COOKIE, value, httponly=True, samesite="Lax", secure=settings.TLS)
    return response


def see_other(href: str) -> HttpResponse:
    """303: what was asked for stands there."""
    response = HttpResponseRedirect(href)
    response.status_code = 303
    return response
