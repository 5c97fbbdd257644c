"""Coming in and going out: name and password, passkey, second factor, once more before a grave act."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from allauth.account.internal.flows.login import record_authentication
from allauth.account.stages import LoginStageController
from allauth.mfa.stages import AuthenticateStage
from django.contrib.auth import logout
from django.http import HttpResponse, HttpResponseRedirect, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render

from catalog.ground.http import Asked, page
from catalog.ground.limits import network_of
from catalog.ground.roles import HOUSE
from catalog.people import factors, slowing, visiting
from catalog.people.actions import ask_reset
from catalog.people.actions.failures import count_one
from catalog.people.forms import AgainForm, CodeForm, PasskeyForm, ResetForm, SignInForm
from catalog.people.pages.base import answered, next_of, tries_on
from catalog.people.reads import account_at, factors_of, mail_is_set
from catalog.people.rules import RESETS_AN_HOUR
from catalog.people.signing import let_in, let_in_by_passkey, proven


@page("public.read", once_only=False)
def sign_in(request: Asked) -> HttpResponse:
    to = next_of(request)
    if request.actor.signed_in:
        return HttpResponseRedirect(to or "/today/")
    form = SignInForm(request.POST or None, initial={"next": to})
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        with tries_on(form):
            return let_in(request, proven(request, said["name"], said["password"]), "password", to)
    return answered(request, "people/sign_in.html", form, to=to)


@page("public.read", once_only=False)
def passkey(request: Asked) -> HttpResponse:
    """GET: what a device has to sign, as JSON. POST: what it signed."""
    to = next_of(request)
    if request.method != "POST":
        # another page opened meanwhile may have set another form cookie: the form goes by the one of this answer
        return JsonResponse({"options": factors.options(None), "form_token": get_token(request)})
    key = PasskeyForm(request.POST)
    with tries_on(key):
        return let_in_by_passkey(request, factors.right_passkey(key.answer()), to)
    return answered(request, "people/sign_in.html", SignInForm(initial={"next": to}), to=to, key_form=key)


@page("public.read", once_only=False)
def second(request: Asked) -> HttpResponse:
    """The second factor of who gave the right password, or came by a link."""
    if request.actor.signed_in:
        return HttpResponseRedirect(next_of(request) or "/today/")
    stage = LoginStageController.enter(request, AuthenticateStage.key)
    if stage is None:
        return HttpResponseRedirect("/sign-in/")
    account = stage.login.user
    form = CodeForm(request.POST if "code" in request.POST else None)
    key = PasskeyForm(request.POST if "credential" in request.POST else None)
    if request.method == "POST":
        with tries_on(key if key.is_bound else form):
            factors.given(request, _shown(request, account, form, key))
            return stage.exit()
    held = factors_of(account)
    options = factors.options(account) if held["passkeys"] else None
    return answered(request, "people/second.html", form, held=held, options=options, key_form=key)


def _shown(request: Any, account: Any, form: CodeForm, key: PasskeyForm) -> Any:
    if key.is_bound:
        return factors.right_passkey(key.answer(), account)
    form.is_valid()
    return factors.right_code(request, account, form.cleaned_data.get("code", ""))


@page("self.write", once_only=False)
def again(request: Asked) -> HttpResponse:
    """The password or a passkey once more: for five minutes, grave acts are open."""
    to = next_of(request) or "/me/"
    account = account_at(request.actor.account_id or 0)
    held = factors_of(account)
    by_key = "credential" in request.POST
    form = AgainForm(request.POST if request.method == "POST" and not by_key else None, initial={"next": to})
    key = PasskeyForm(request.POST if by_key else None)
    if request.method == "POST":
        with tries_on(key if key.is_bound else form):
            _prove(request, account, form, key)
            visiting.renew(request)
            return HttpResponseRedirect(to)
    options = factors.options(account) if held["passkeys"] else None
    facts = {"account": account, "options": options, "key_form": key, "to": to}
    return answered(request, "people/again.html", form, **facts)


def _prove(request: Any, account: Any, form: AgainForm, key: PasskeyForm) -> None:
    if key.is_bound:
        factors.given(request, factors.right_passkey(key.answer(), account), again=True)
        return
    form.is_valid()
    proven(request, account.name, form.cleaned_data.get("password", ""))
    record_authentication(request, account, method="password", reauthenticated=True)


@page("public.read", once_only=False)
def reset(request: Asked) -> HttpResponse:
    """Asks for a link to a new password. The answer is the same whether or not there is such a name."""
    form = ResetForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with tries_on(form):
            counter = slowing.hashed("resets", network_of(request))
            if count_one(counter, slowing.HOUR) > RESETS_AN_HOUR:
                raise slowing.slowed(3600, RESETS_AN_HOUR)
            ask_reset(HOUSE, form.cleaned_data["name"])
            return HttpResponseRedirect("/sign-in/reset/?asked=yes")
    facts = {"asked": "asked" in request.GET, "mail": mail_is_set()}
    return answered(request, "people/reset.html", form, **facts)


@page("public.read", once_only=False)
def sign_out(request: Asked) -> HttpResponse:
    if request.method == "POST":
        logout(request)
        return HttpResponseRedirect(f"/sign-in/?{urlencode({'out': 'yes'})}")
    return render(request, "people/sign_out.html")
