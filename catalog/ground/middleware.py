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
from django.utils import timezone
from django.utils.functional import SimpleLazyObject, empty
from django.utils.module_loading import import_string

from catalog.ground import limits, look
from catalog.ground.acting import refusal_of
from catalog.ground.collection import read_once, zone
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


class Broken(Refusal):
    status = 500
    title = "Something broke on our side"
    kind = "broken"


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
        took_ms = (time.monotonic() - begun) * 1000
        log.info(
            "%s %s /%s %s %dms %s", request.id, request.method, route, response.status_code, took_ms, _asker(request)
        )
        return response

    def _headers(self, response: HttpResponse) -> None:
        response.headers.setdefault(
            "Content-Security-Policy", POLICY + ("; upgrade-insecure-requests" if settings.TLS else "")
        )
        response.headers.setdefault("Permissions-Policy", "camera=(self), geolocation=(self), microphone=()")
        response.headers.setdefault("X-Content-Type-Options", "nosniff")
        response.headers.setdefault("Referrer-Policy", "same-origin")


def _asker(request: Any) -> int | str:
    """The account for the log, where it was asked for; the log asks the database nothing."""
    actor = request.actor
    if isinstance(actor, SimpleLazyObject) and actor._wrapped is empty:
        return "-"
    return actor.account_id or "-"


class Who:
    """Makes the Actor of the request, keeps the collection's time and the limits, turns refusals into pages or problem documents."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self.actor_of = import_string(settings.ACTOR_OF)

    def __call__(self, request: Any) -> HttpResponse:
        request.actor = SimpleLazyObject(lambda: self.actor_of(request))
        if request.path.startswith(("/static/", "/ok/")):
            return self.get_response(request)
        with read_once():
            try:
                response = self._let_in(request)
            finally:
                timezone.deactivate()
        if request.method not in ("GET", "HEAD", "OPTIONS"):
            look.something_was_written()
        private = request.session.accessed or request.path.startswith("/api/")
        if private:
            kind = "private, no-cache" if request.path.startswith("/api/") else "private, no-store"
            response.headers.setdefault("Cache-Control", kind)
        return response

    def _let_in(self, request: Any) -> HttpResponse:
        """In the collection's time zone; a 401 or 429 is said before the page is asked."""
        try:
            timezone.activate(zone())
            refusal = limits.too_many(request)
        except (Refusal, DatabaseError) as error:
            return self.process_exception(request, error)
        return answer(request, refusal) if refusal else self.get_response(request)

    def process_exception(self, request: Any, error: Exception) -> HttpResponse:
        refusal = as_refusal(error)
        if refusal is None:
            route = getattr(getattr(request, "resolver_match", None), "route", "-")
            log.error("%s broke at %s", request.id, route, exc_info=error)
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
        return problem(request, Broken(sentence))
    return HttpResponse(render_to_string("look/errors/500.html", {"code": request.id}), status=500)


def not_found(request: Any, exception: Exception | None = None) -> HttpResponse:
    """404 in one wording, whether the thing is absent or not for these eyes."""
    return answer(request, NotFound("This is not a number of ours, or not a page of ours."))


def server_error(request: Any) -> HttpResponse:
    return broken(request)
