"""One's means to sign in: the authenticator app, passkeys, recovery codes."""

from __future__ import annotations

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.ground.codes import code_svg
from catalog.ground.http import Asked, page, refusals_on
from catalog.ground.refusal import Reason, Refusal
from catalog.people import actions, factors
from catalog.people.actions.factors import step_of
from catalog.people.forms import CodeForm, PasskeyForm, PressForm
from catalog.people.pages.base import answered, prove_first, secret_page, shown_once, tell_done
from catalog.people.pages.me import own
from catalog.people.reads import factors_of
from catalog.people.signing import MFAAdapter


@page("self.write", once_only=False)
def second_factor(request: Asked) -> HttpResponse:
    """What there is; a press makes eight new recovery codes and shows them, once."""
    if (ask := prove_first(request)) is not None:
        return ask
    if request.method == "POST":
        return shown_once(request, lambda: _codes(request), "/me/second-factor/")
    return render(request, "people/second_factor.html", {"held": factors_of(own(request)), "press": PressForm()})


def _codes(request: Asked) -> HttpResponse:
    codes = actions.new_codes(request.actor)
    return render(request, "people/codes.html", {"codes": codes})


@page("self.write", once_only=False)
def app(request: Asked) -> HttpResponse:
    """Sets up the authenticator app: its code is drawn, and the six figures that it then shows are asked for."""
    if (ask := prove_first(request)) is not None:
        return ask
    account, secret = own(request), factors.app_secret(request)
    form = CodeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            step = step_of(secret, form.cleaned_data["code"])
            if step is None:
                raise Refusal(
                    Reason("This is not the code of this half minute. Write the one that the app shows now.", "code")
                )
            actions.add_app(request.actor, secret, step)
            factors.forget_app_secret(request)
            return tell_done(
                request,
                "The app is your second factor now. Make recovery codes, for the day it is lost.",
                "/me/second-factor/",
            )
    drawn = code_svg(MFAAdapter().build_totp_url(account, secret))
    spaced = " ".join(secret[i : i + 4] for i in range(0, len(secret), 4))
    return secret_page(answered(request, "people/app.html", form, drawn=drawn, secret=spaced))


@page("self.write", once_only=False)
def new_passkey(request: Asked) -> HttpResponse:
    if (ask := prove_first(request)) is not None:
        return ask
    account, key = own(request), PasskeyForm(request.POST if request.method == "POST" else None)
    if request.method == "POST":
        with refusals_on(key):
            made = factors.made_passkey(key.answer())
            name = key.cleaned_data["name"].strip() or f"Passkey {len(factors_of(account)['passkeys']) + 1}"
            actions.add_passkey(request.actor, name, made)
            return tell_done(request, f"{name} signs you in now.", "/me/second-factor/")
    return answered(request, "people/passkey.html", key, options=factors.creation_options(account))


@page("self.write")
def take_off(request: Asked, pk: int) -> HttpResponse:
    """Takes off the app or one passkey."""
    if (ask := prove_first(request)) is not None:
        return ask
    if request.method != "POST":
        return HttpResponseRedirect("/me/second-factor/")
    actions.take_off_factor(request.actor, pk)
    return tell_done(request, "It signs you in no more.", "/me/second-factor/")
