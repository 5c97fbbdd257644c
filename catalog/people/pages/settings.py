"""What a registrar decides of the collection, and who holds which token."""

from __future__ import annotations

from django.conf import settings as house
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.ground.collection import collection, today
from catalog.ground.http import Asked, page, refusals_on
from catalog.people import actions, reads, rules
from catalog.people.forms import SettingsForm, TokenForm
from catalog.people.forms.deciding import settings_now
from catalog.people.pages.base import answered, prove_first, shown_once, tell_done


@page("log.read")
def settings(request: Asked) -> HttpResponse:
    ours = collection()
    facts = {
        "ours": ours,
        "next_numbers": rules.examples(ours.accession_pattern, today().year, 0),
        "base_address": house.BASE_ADDRESS,
        "mail": reads.mail_is_set(),
        "n_tokens": reads.tokens_of(request.actor).count(),
        "n_heads": reads.n_heads(),
    }
    return render(request, "people/settings.html", facts)


@page("setting.change")
def change_settings(request: Asked) -> HttpResponse:
    if (ask := prove_first(request)) is not None:
        return ask
    form = SettingsForm(request.POST or None, initial=settings_now(collection()))
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.change_collection(request.actor, form.said(), expected_version=form.cleaned_data["version"])
            return tell_done(request, "The settings stand as you wrote them.", "/settings/")
    return answered(request, "people/change_settings.html", form)


@page("token.make", once_only=False)
def tokens(request: Asked) -> HttpResponse:
    """One's tokens; a new one is shown once."""
    form = TokenForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        if (ask := prove_first(request)) is not None:
            return ask
        with refusals_on(form):
            return shown_once(request, lambda: _given(request, form), "/settings/tokens/")
    return answered(request, "people/tokens.html", form, tokens=list(reads.tokens_of(request.actor)))


def _given(request: Asked, form: TokenForm) -> HttpResponse:
    said = form.cleaned_data
    token, secret = actions.issue_token(request.actor, called=said["called"], kind=said["kind"], scope=form.scope())
    return render(request, "people/token.html", {"token": token, "secret": secret})


@page("token.revoke")
def revoke_token(request: Asked, pk: int) -> HttpResponse:
    if request.method != "POST":
        return HttpResponseRedirect("/settings/tokens/")
    token = actions.revoke_token(request.actor, pk)
    return tell_done(request, f"The token for {token.called} opens nothing any more.", "/settings/tokens/")
