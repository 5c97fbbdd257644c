"""The outer door (headers, refusals, log) and the inner one (who asks)."""

from __future__ import annotations

import logging
import secrets
import time
from collections.abc import Callable
from typing import Any

from django.conf import settings
from django.core.exceptions import RequestDataTooBig, SuspiciousOperation, TooManyFieldsSent, TooManyFilesSent
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse, UnreadablePostError
from django.utils.functional import SimpleLazyObject
from django.utils.module_loading import import_string

from catalog.ground.acting import refusal_of
from catalog.ground.http import refused
from catalog.ground.problems import problem
from catalog.ground.refusal import Full, NotFound, Refusal, TooLarge
from catalog.ground.roles import VISITOR

log = logging.getLogger("undercast")

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; connect-src 'self'; "
    "manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; "
    "object-src 'none'; require-trusted-types-for 'script'; trusted-types default"
)


class Unreadable(Refusal):
    status = 400
    title = "Cannot be read"
    kind = "unreadable"


class Door:
    """Around everything: the web's headers, a request id, one log line without values, and our own pages for what goes wrong."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: Any) -> HttpResponse:
        request.id, begun = secrets.token_hex(4).upper(), time.monotonic()
        request.actor = VISITOR
        if any(c in request.get_full_path() for c in ("\x00", "%00")) or len(request.get_full_path()) > 8192:
            response = answer(request, Unreadable("This address cannot be read. Type the number into the box instead."))
        else:
            response = self.get_response(request)
        self._headers(response)
        route = request.resolver_match.route if getattr(request, "resolver_match", None) else "-"
        who = request.actor.account_id or "-"
        log.info(
            "%s %s /%s %s %dms %s",
            request.id,
            request.method,
            route,
            response.status_code,
            (time.monotonic() - begun) * 1000,
            who,
        )
        return response

    def _headers(self, response: HttpResponse) -> None:
        response.headers.setdefault(
            "Content-Security-Policy", POLICY + ("; upgrade-insecure-requests" if settings.TLS else "")
        )
        response.headers.setdefault("Permissions-Policy", "camera=(self), geolocation=(self), microphone=()")
        response.headers.setdefault("X-Content-Type-Options", "nosniff")
        response.headers.setdefault("Referrer-Policy", "same-origin")


class Who:
    """Makes the Actor of the request and turns refusals into pages or problem documents."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self.actor_of = import_string(settings.ACTOR_OF)

    def __call__(self, request: Any) -> HttpResponse:
        request.actor = SimpleLazyObject(lambda: self.actor_of(request))
        response = self.get_response(request)
        if request.path.startswith("/static/"):
            return response
        private = request.session.accessed or request.path.startswith("/api/")
        if private:
            kind = "private, no-cache" if request.path.startswith("/api/") else "private, no-store"
            response.headers.setdefault("Cache-Control", kind)
        return response

    def process_exception(self, request: Any, error: Exception) -> HttpResponse | None:
        refusal = as_refusal(error)
        if refusal is None:
            log.exception("%s broke at %s", request.id, getattr(request.resolver_match, "route", "-"))
            return broken(request)
        return answer(request, refusal)


def as_refusal(error: BaseException) -> Refusal | None:
    """What went wrong, as a refusal, where it is not our own fault."""
    if isinstance(error, Refusal):
        return error
    if isinstance(error, (RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent)):
        return TooLarge("That is more than one page takes: at most 40 files and 1 000 fields. Send it in parts.")
    if isinstance(error, (UnreadablePostError, SuspiciousOperation, UnicodeError)):
        return Unreadable("What was sent did not arrive whole. Press again; it will not happen twice.")
    if isinstance(error, OSError) and error.errno == 28:
        return Full(
            "The disk is full: nothing was saved, and what you typed is still here. Make room, then press again."
        )
    if isinstance(error, DatabaseError):
        in_words = refusal_of(error)
        return in_words if isinstance(in_words, Refusal) else None
    return None


def answer(request: Any, refusal: Refusal) -> HttpResponse:
    """The refusal as the asker reads it: a problem document for the API, a page for people."""
    response = problem(request, refusal) if request.path.startswith("/api/") else refused(request, refusal)
    if refusal.status in (429, 503):
        response["Retry-After"] = str(refusal.more.get("retry_after", 2))
    return response


def broken(request: Any) -> HttpResponse:
    """Our fault: needs no database."""
    from django.template.loader import render_to_string

    if request.path.startswith("/api/"):
        sentence = f"Something broke on our side. Nothing was saved. Tell the registrar the code {request.id}."
        return problem(request, Refusal(sentence), status=500, title="Something broke on our side")
    return HttpResponse(render_to_string("look/errors/500.html", {"code": request.id}), status=500)


def not_found(request: Any, exception: Exception | None = None) -> HttpResponse:
    """404 in one wording, whether the thing is absent or not for these eyes."""
    return answer(request, NotFound("This is not a number of ours, or not a page of ours."))


def server_error(request: Any) -> HttpResponse:
    return broken(request)
