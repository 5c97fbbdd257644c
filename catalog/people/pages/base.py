"""What these pages share: where one goes on to, the wait after wrong tries, pages that hold a secret."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from catalog.ground.http import recently_proven, status_of
from catalog.ground.once import check_key, fingerprint, once
from catalog.ground.refusal import Refusal
from catalog.people.signing import same_site


def next_of(request: HttpRequest) -> str:
    """The path that was asked for before signing in; only one of this house."""
    said = request.POST.get("next") or request.GET.get("next") or ""
    return said if same_site(said) else ""


@contextmanager
def tries_on(form: BaseForm) -> Iterator[None]:
    """As `refusals_on`, for wrong passwords and codes: keeps the seconds to wait on the form."""
    try:
        yield
    except Refusal as refusal:
        for reason in refusal.reasons:
            name = reason.field if reason.field in form.fields else None
            form.add_error(name, ValidationError(reason.sentence, params={"remedy": reason.remedy}))
        if refusal.status == 429:
            form.wait_s = refusal.more.get("retry_after", 1)  # type: ignore[attr-defined]


def answered(request: HttpRequest, template: str, form: BaseForm, **facts: Any) -> HttpResponse:
    """The page with its form, and with `key_form` where a passkey may be shown instead; 422 where something is wrong, 429 to wait."""
    forms = [f for f in (form, facts.get("key_form")) if f is not None]
    wait_s = max(getattr(f, "wait_s", 0) for f in forms)
    status = 429 if wait_s else max(status_of(f) for f in forms)
    response = render(request, template, {"form": form, **facts}, status=status)
    if wait_s:
        response["Retry-After"] = str(wait_s)
    return response


def prove_first(request: HttpRequest) -> HttpResponse | None:
    """Asks for the password or passkey before the page of a grave act is filled in, not after it."""
    if recently_proven(request):
        return None
    return HttpResponseRedirect(f"/sign-in/again/?{urlencode({'next': request.get_full_path()})}")


def secret_page(response: HttpResponse) -> HttpResponse:
    """A page that shows a secret or has one in its address: nobody keeps it, nobody outside is told of it.

    Not `no-referrer`: its forms would then come with `Origin: null`, which the form guard refuses.
    """
    response["Cache-Control"] = "no-store"
    response["Referrer-Policy"] = "same-origin"
    response["X-Robots-Tag"] = "noindex"
    return response


def shown_once(request: Any, make: Callable[[], HttpResponse], to: str) -> HttpResponse:
    """Runs `make`, whose page holds a secret, once under the form's key. The page is not kept; a second press leads to `to`."""
    shown: list[HttpResponse] = []

    def run() -> HttpResponse:
        response = make()
        if response.status_code >= 400:
            shown.append(response)
            return response
        shown.append(response)
        return HttpResponseRedirect(to)

    key = check_key(request.POST.get("key", ""))
    kept = once(request.actor, key, fingerprint(request), run)
    if shown:
        return secret_page(shown[-1])
    messages.warning(
        request, "This was made a moment ago, and its secret is shown only once. If nobody noted it, make another."
    )
    return kept


def tell_done(request: HttpRequest, sentence: str, to: str) -> HttpResponse:
    """What is so now, said on the page one comes to."""
    messages.success(request, sentence)
    return HttpResponseRedirect(to)
