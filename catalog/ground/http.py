"""Pages: who asks, may they, is it the same request twice, and how a refusal looks on a form."""

from __future__ import annotations

import functools
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any
from urllib.parse import urlencode

from django.conf import settings
from django.core.exceptions import ValidationError
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.template.loader import render_to_string

from catalog.ground.once import check_key, fingerprint, once
from catalog.ground.refusal import NotAllowed, NotFound, Refusal, Stale
from catalog.ground.roles import ACTS, GRAVE, Actor, demand

View = Callable[..., HttpResponse]


class Asked(HttpRequest):
    """A request whose asker is known."""

    actor: Actor


def page(act: str, *, grave: bool = False, once_only: bool = True) -> Callable[[View], View]:
    """A page's door: names its act, sends visitors to the sign-in page, refuses who may not, answers a doubled press once.

    A grave act asks for the password again unless it was given in the last five minutes.
    """
    if act not in ACTS:
        raise KeyError(f"no such act: {act}")

    def wrap(view: View) -> View:
        @functools.wraps(view)
        def door(request: Any, *args: Any, **kwargs: Any) -> HttpResponse:
            request.act = act
            actor: Actor = request.actor
            if act != "public.read" and not actor.signed_in:
                return to_sign_in(request)
            demand(actor, act)
            if (grave or act in GRAVE) and request.method == "POST" and not recently_proven(request):
                return prove_again(request)
            if once_only and request.method == "POST" and actor.signed_in and request.POST.get("key"):
                key = check_key(request.POST["key"])
                return once(actor, key, fingerprint(request), lambda: view(request, *args, **kwargs))
            return view(request, *args, **kwargs)

        door.act = act  # type: ignore[attr-defined]
        return door

    return wrap


def to_sign_in(request: HttpRequest) -> HttpResponse:
    return HttpResponseRedirect(f"/sign-in/?{urlencode({'next': request.get_full_path()})}")


def recently_proven(request: HttpRequest) -> bool:
    """The password or passkey was given in the last five minutes."""
    from allauth.account.internal.flows.login import get_authentication_records

    given = get_authentication_records(request, request.user)  # type: ignore[arg-type]
    strong = [g["at"] for g in given if g["method"] == "password" or g.get("type") == "webauthn"]
    return bool(strong) and time.time() - max(strong) < settings.ACCOUNT_REAUTHENTICATION_TIMEOUT


def prove_again(request: HttpRequest) -> HttpResponse:
    raise NotAllowed(
        "This cannot be taken back, so it asks for your password again.",
        remedy=f"/sign-in/again/?{urlencode({'next': request.path})}",
    )


@contextmanager
def refusals_on(form: BaseForm) -> Iterator[None]:
    """Turns a Refusal into errors on the form, at its field where it has one: nothing typed is lost.

    NotAllowed, NotFound and Stale are the page's own matter and go on.
    """
    try:
        yield
    except (NotAllowed, NotFound, Stale):
        raise
    except Refusal as refusal:
        form.errors  # noqa: B018  a form must have been read before anything is added to it
        if not hasattr(form, "cleaned_data"):
            form.cleaned_data = {}
        for reason in refusal.reasons:
            name = reason.field.split("/")[0]
            form.add_error(
                name if name in form.fields else None,
                ValidationError(reason.sentence, params={"remedy": reason.remedy}),
            )


def refused(request: HttpRequest, refusal: Refusal) -> HttpResponse:
    """The page of a refusal that no form caught. When the house itself is in trouble (5xx) the page asks the database nothing."""
    facts = {
        "refusal": refusal,
        "sentences": list(dict.fromkeys(r.sentence for r in refusal.reasons)),
        "remedy": refusal.more.get("remedy") or next((r.remedy for r in refusal.reasons if r.remedy), ""),
        "code": getattr(request, "id", ""),
    }
    template = f"look/errors/{refusal.status}.html"
    if refusal.status >= 500:
        return HttpResponse(render_to_string(template, facts), status=refusal.status)
    return render(request, template, facts, status=refusal.status)


def posted(request: HttpRequest) -> Any:
    """What a form was sent, also when nothing was typed; None where the page is only opened."""
    return request.POST if request.method == "POST" else None


def status_of(form: BaseForm) -> int:
    return 422 if form.is_bound and form.errors else 200


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    sentence = (
        "This page was open too long, or its cookie is gone. Open it again; what you typed is kept on this device."
    )
    return refused(request, NotAllowed(sentence))
