"""Oneself: how one signs in, where one is signed in, how pages look, what is held about one."""

from __future__ import annotations

import io
import json
import time
import zipfile

from django.contrib.auth import update_session_auth_hash
from django.http import HttpResponse, HttpResponseRedirect, JsonResponse
from django.middleware.csrf import get_token

from catalog.ground.http import Asked, page, recently_proven, refusals_on
from catalog.ground.roles import HEADS, HOUSE
from catalog.people import actions, reads
from catalog.people.forms import NewPasswordForm, OwnForm
from catalog.people.models import Account
from catalog.people.own_data import held_about
from catalog.people.pages.base import answered, prove_first, tell_done
from catalog.people.sessions import kept_key
from catalog.people.signing import proven


def own(request: Asked) -> Account:
    return reads.account_at(request.actor.account_id or 0)


@page("self.write")
def me(request: Asked) -> HttpResponse:
    account = own(request)
    form = OwnForm(request.POST or None, initial=_choices(account))
    if request.method == "POST" and form.is_valid():
        if form.said().email.strip().lower() != account.email and not recently_proven(request):
            return prove_first(request) or HttpResponseRedirect("/me/")
        with refusals_on(form):
            actions.keep_own_settings(request.actor, form.said())
            return tell_done(request, "Your choices are kept.", "/me/")
    here = kept_key(request.session.session_key)
    facts = {
        "account": account,
        "held": reads.factors_of(account),
        "roles": reads.standing_roles(account),
        "leaves": reads.leaves_of(account),
        "visits": list(reads.visits_of(request.actor)),
        "here": here,
        "wants_factor": _wants_factor(request, account),
    }
    return answered(request, "people/me.html", form, **facts)


def _wants_factor(request: Asked, account: Account) -> bool:
    """The collection demands a second factor of this account, and there is none."""
    return bool(set(reads.standing_roles(account)) & HEADS) and not request.actor.roles & HEADS


def _choices(account: Account) -> dict[str, object]:
    return {
        "email": account.email,
        "light": "light" if account.light else "device",
        "keys": "on" if account.single_keys else "off",
        "decimal": {None: "collection", True: "comma", False: "point"}[account.decimal_comma],
    }


@page("self.write", once_only=False)
def password(request: Asked) -> HttpResponse:
    """A new password; asks for the present one unless there is none, or one came by a link just now."""
    account = own(request)
    ask = account.has_usable_password() and not came_by_link(request)
    form = NewPasswordForm(request.POST or None, ask_present=ask)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            if ask:
                proven(request, account.name, form.cleaned_data["present"])
            account = actions.change_password(
                request.actor, form.cleaned_data["password"], session_key=request.session.session_key or ""
            )
            before = request.session.session_key or ""
            update_session_auth_hash(request, account)
            actions.renew_visit(HOUSE, before, request.session.session_key or "")
            return tell_done(request, "Your new password stands. Everywhere else you are signed out.", "/me/")
    return answered(request, "people/password.html", form, account=account, ask=ask)


def came_by_link(request: Asked) -> bool:
    """Signed in by a one-off link within the last quarter of an hour."""
    from allauth.account.internal.flows.login import get_authentication_records

    given = get_authentication_records(request, request.user)
    return any(g["method"] == "link" and time.time() - g["at"] < 900 for g in given)


@page("self.write")
def end_session(request: Asked, pk: int) -> HttpResponse:
    if request.method != "POST":
        return HttpResponseRedirect("/me/")
    actions.end_visit(request.actor, pk)
    return tell_done(request, "That session is ended.", "/me/")


@page("self.write")
def end_sessions(request: Asked) -> HttpResponse:
    if request.method != "POST":
        return HttpResponseRedirect("/me/")
    n = actions.end_sessions(request.actor, but=request.session.session_key or "")
    return tell_done(request, "You are signed in nowhere else." if n else "You were signed in nowhere else.", "/me/")


@page("self.write")
def csrf(request: Asked) -> HttpResponse:
    """For the device's outbox: a fresh token of the form guard, and that one is signed in."""
    return JsonResponse({"token": get_token(request)})


@page("self.write")
def data(request: Asked) -> HttpResponse:
    """Everything that is held about oneself, as a ZIP with one JSON file."""
    pack = io.BytesIO()
    with zipfile.ZipFile(pack, "w", zipfile.ZIP_DEFLATED) as bundle:
        bundle.writestr(
            "about-me.json", json.dumps(held_about(own(request)), ensure_ascii=False, indent=2, default=str)
        )
    response = HttpResponse(pack.getvalue(), content_type="application/zip")
    response["Content-Disposition"] = 'attachment; filename="about-me.zip"'
    return response
