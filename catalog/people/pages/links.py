"""One-off links: opening one shows what it does; only the press does it."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.ground.http import Asked, page, refusals_on
from catalog.ground.limits import network_of
from catalog.ground.problems import refusal_with
from catalog.ground.roles import HOUSE
from catalog.people import slowing
from catalog.people.actions import accept_invitation, set_password_by_link, use_link
from catalog.people.actions.accounts import open_invitation
from catalog.people.actions.failures import count_one
from catalog.people.actions.links import open_link
from catalog.people.doorkeeper import STARTING
from catalog.people.forms import ComeInForm, NewPasswordForm
from catalog.people.models import Invitation, Link
from catalog.people.pages.base import answered, secret_page
from catalog.people.reads import first_registrar
from catalog.people.rules import UNKNOWN_LINKS_A_MINUTE
from catalog.people.signing import let_in


@page("public.read", once_only=False)
def link(request: Asked, token: str) -> HttpResponse:
    _few_unknown(request)
    found = open_link(token)
    if found is None:
        return _gone(request)
    if found.kind == "reset":
        return _new_password(request, token, found)
    if request.method != "POST":
        return secret_page(render(request, "people/link.html", {"link": found}))
    found = use_link(HOUSE, token)
    if found.account is None:
        request.session[STARTING] = True
        return HttpResponseRedirect("/welcome/")
    return secret_page(let_in(request, found.account, "link"))


def _new_password(request: Asked, token: str, found: Link) -> HttpResponse:
    form = NewPasswordForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            account = set_password_by_link(HOUSE, token, form.cleaned_data["password"])
            return secret_page(let_in(request, account, "link"))
    return secret_page(answered(request, "people/new_password.html", form, account=found.account))


@page("public.read", once_only=False)
def invitation(request: Asked, token: str) -> HttpResponse:
    _few_unknown(request)
    found = open_invitation(token)
    if found is None:
        return _gone(request)
    form = ComeInForm(request.POST or None, initial={"name": found.name})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            said = form.cleaned_data
            account = accept_invitation(HOUSE, token, said["name"], said["password"])
            return secret_page(let_in(request, account, "password"))
    return secret_page(answered(request, "people/invitation.html", form, invitation=found, by=_inviter(found)))


def _inviter(found: Invitation) -> str:
    return found.created_by.person.name if found.created_by else ""


def _few_unknown(request: HttpRequest) -> None:
    """A network that tried ten links that are none of ours within a minute waits."""
    counter = slowing.hashed("links", network_of(request))
    if not slowing.few_enough(counter, UNKNOWN_LINKS_A_MINUTE, slowing.MINUTE):
        raise refusal_with(429, "Too many links that are none of ours. Wait a minute.", retry_after=60)


def _gone(request: Any) -> HttpResponse:
    """Unknown, used, taken back or over: the same page."""
    count_one(slowing.hashed("links", network_of(request)), slowing.MINUTE)
    registrar = first_registrar()
    facts = {"registrar": registrar.person.name if registrar else ""}
    return secret_page(render(request, "people/link_gone.html", facts, status=404))
