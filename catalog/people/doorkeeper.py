"""Makes the Actor of a request: from its session, its token, or as a visitor."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import timezone
from rest_framework.authentication import BaseAuthentication, CSRFCheck
from rest_framework.request import Request

from catalog.ground.collection import collection
from catalog.ground.problems import refusal_with
from catalog.ground.roles import ACTS, GRAVE, HEADS, READER, VISITOR, Actor
from catalog.people.models import Account, Leave, Role
from catalog.people.reads import anybody, has_second_factor
from catalog.people.visiting import still_open


def actor_of(request: Any) -> Actor:
    """Who asks. Pages know sessions; the API knows tokens too (a token never counts on a page)."""
    if request.path.startswith("/api/"):
        header = request.headers.get("Authorization", "")
        if header:
            from catalog.people.tokens import actor_of_token

            return actor_of_token(header, request)
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated or not user.is_active or not still_open(request):
        return VISITOR
    return actor_for(user)


def actor_for(account: Account, **more: Any) -> Actor:
    """The account as an Actor: its standing roles and leaves, and whether the house is one person's."""
    ours = collection()
    day = timezone.now().astimezone(ZoneInfo(ours.zone or "UTC")).date()
    roles = Role.objects.filter(account=account, until__isnull=True, since__lte=day).values_list("role", flat=True)
    leaves = Leave.objects.filter(account=account).values_list("act", "until")
    return Actor(
        account_id=account.pk,
        name=account.person.name,
        roles=_by_second_factor(account, frozenset(roles), ours.second_factor_for_heads and not more.get("by_token")),
        person_id=account.person_id,
        leaves=frozenset(act for act, until in leaves if until is None or day <= until),
        alone=ours.alone,
        alone_before=ours.witness,
        said=_choices(account),
        **more,
    )


def _choices(account: Account) -> dict[str, str]:
    """How the pages look to them: `light`, `keys_off`, `decimal` (comma or point)."""
    said = {"light": account.light, "keys_off": not account.single_keys}
    decimal = {None: "", True: "comma", False: "point"}[account.decimal_comma]
    return {name: "1" for name, chosen in said.items() if chosen} | ({"decimal": decimal} if decimal else {})


def _by_second_factor(account: Account, roles: frozenset[str], demanded: bool) -> frozenset[str]:
    """Where the collection demands it, registrar and keeper read only until they have a second factor."""
    if not demanded or not roles & HEADS or has_second_factor(account):
        return roles
    return roles - HEADS | {READER}


def scope_of(text: str) -> tuple[frozenset[str] | None, frozenset[str]]:
    """A token's scope: `all` = what its person may but no grave act; acts named beside it or alone."""
    names = set(text.replace(",", " ").split())
    grave = frozenset(names & GRAVE)
    if "all" in names:
        return None, grave
    return frozenset(names & set(ACTS)), grave


class TokenOrSession(BaseAuthentication):
    """For DRF: a session's writes need the CSRF token; a token needs none and never comes with cookies."""

    def authenticate(self, request: Request) -> tuple[Any, Any] | None:
        plain: Any = request._request
        if "token" in plain.GET or "access_token" in plain.GET or "undercast_" in plain.META.get("QUERY_STRING", ""):
            from catalog.people.tokens import revoke_shown

            revoke_shown(plain)
            raise refusal_with(400, "A token in an address is seen by others, so it was revoked. Send it as a header.")
        actor: Actor = plain.actor
        if actor.signed_in and not actor.by_token:
            self._csrf(plain)
        return (actor, None) if actor.signed_in else None

    def _csrf(self, request: Any) -> None:
        check = CSRFCheck(lambda r: None)  # type: ignore[arg-type]
        check.process_request(request)
        if check.process_view(request, lambda r: HttpResponse(), (), {}):
            raise refusal_with(403, "This page was open too long. Open it again and press once more.")

    def authenticate_header(self, request: Request) -> str:
        return "Bearer"


class FirstStart:
    """While nobody has an account there is nothing but the welcome, and that only by the printed link."""

    _OPEN = ("/welcome/", "/sign-in/link/", "/static/", "/api/", "/ok/", "/sw.js")

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path.startswith(self._OPEN) or signed_in_session(request) or anybody():
            return self.get_response(request)
        if request.session.get(STARTING):
            return HttpResponseRedirect("/welcome/")
        return not_open_yet(request)


STARTING = "starting"


def signed_in_session(request: HttpRequest) -> bool:
    """Spares the question whether there is an account to everybody who has one."""
    return settings.SESSION_COOKIE_NAME in request.COOKIES and SESSION_KEY in request.session


def not_open_yet(request: HttpRequest) -> HttpResponse:
    return render(request, "people/not_open_yet.html", status=503)
