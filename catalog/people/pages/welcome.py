"""The first start: four short screens, each with an address, and one act that opens the register."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.hashers import make_password
from django.http import HttpResponse, HttpResponseRedirect

from catalog.ground.http import Asked, page, refusals_on
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import HOUSE
from catalog.people import reads, rules
from catalog.people.actions import open_collection
from catalog.people.actions.own import check_password
from catalog.people.doorkeeper import STARTING, not_open_yet
from catalog.people.forms import DecidesForm, NumbersForm, OursForm, YouForm
from catalog.people.models import Account
from catalog.people.pages.base import answered
from catalog.people.said import OpeningSaid
from catalog.people.signing import let_in

DRAFT = "opening"
STEPS = ["/welcome/", "/welcome/collection/", "/welcome/numbers/", "/welcome/open/"]
WORDS = ["You", "The collection", "Its numbers", "Who decides"]

Screen = Callable[..., HttpResponse]


def by_start_link(view: Screen) -> Screen:
    """Only for who opened the printed link, and only while there is no account."""

    @wraps(view)
    def door(request: Any) -> HttpResponse:
        if reads.anybody():
            return HttpResponseRedirect("/sign-in/")
        if not request.session.get(STARTING):
            return not_open_yet(request)
        missing = _first_missing(draft_of(request))
        if STEPS.index(request.path) > missing:
            return HttpResponseRedirect(STEPS[missing])
        return view(request)

    return door


def draft_of(request: Any) -> dict[str, Any]:
    return dict(request.session.get(DRAFT, {}))


def _first_missing(draft: dict[str, Any]) -> int:
    """The screen that is to be filled in next."""
    return next((n for n, name in enumerate(["person", "name", "pattern"]) if name not in draft), 3)


def _go_on(request: Any, to: str, **more: Any) -> HttpResponse:
    request.session[DRAFT] = draft_of(request) | more
    return HttpResponseRedirect(to)


def _screen(request: Any, n: int, form: Any, **facts: Any) -> HttpResponse:
    states = ["done" if i < n else "now" if i == n else "todo" for i in range(4)]
    reached = _first_missing(draft_of(request))
    steps = [
        {"word": word, "state": state, "href": STEPS[i] if i <= reached and i != n else ""}
        for i, (word, state) in enumerate(zip(WORDS, states, strict=True))
    ]
    back = STEPS[n - 1] if n else ""
    return answered(
        request, f"people/welcome_{n + 1}.html", form, steps=steps, back=back, draft=draft_of(request), **facts
    )


@page("public.read", once_only=False)
@by_start_link
def you(request: Asked) -> HttpResponse:
    draft = draft_of(request)
    form = YouForm(request.POST or None, initial=draft | {"password": ""}, kept="password" in draft)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            said = form.cleaned_data
            refuse_if(rules.hinders_name(said["person"], "person"), Refusal)
            kept = {"person": said["person"], "email": said["email"]}
            if said["password"]:
                check_password(said["password"], Account(name=said["person"], email=said["email"]))
                kept["password"] = make_password(said["password"])
            return _go_on(request, STEPS[1], **kept)
    return _screen(request, 0, form)


@page("public.read", once_only=False)
@by_start_link
def ours(request: Asked) -> HttpResponse:
    form = OursForm(request.POST or None, initial=draft_of(request))
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            said = form.cleaned_data
            about = [r for r in rules.hinders_collection(_said(request, said)) if r.field in ("name", "code")]
            refuse_if(about, Refusal)
            return _go_on(request, STEPS[2], name=said["name"], code=said["code"])
    return _screen(request, 1, form)


@page("public.read", once_only=False)
@by_start_link
def numbers(request: Asked) -> HttpResponse:
    initial = {"pattern": "{year}.{n}", "last_on_paper": 0} | draft_of(request)
    form = NumbersForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            said = form.cleaned_data
            refuse_if(rules.hinders_pattern(said["pattern"], "pattern", yearly=True), Refusal)
            return _go_on(request, STEPS[3], pattern=said["pattern"], last_on_paper=said["last_on_paper"])
    return _screen(request, 2, form, examples=_examples(initial))


@page("public.read", once_only=False)
@by_start_link
def open_register(request: Asked) -> HttpResponse:
    """The last screen: shows all, and its press writes all."""
    form = DecidesForm(request.POST or None, initial={"currency": "EUR"})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            said = _said(request, form.cleaned_data)
            if said.witness and not said.alone:
                raise Refusal(Reason("An outside witness is for who decides alone. Leave it empty.", "witness"))
            account = open_collection(HOUSE, said)
            request.session.pop(DRAFT, None)
            request.session.pop(STARTING, None)
            return let_in(request, account, "password", "/today/")
    return _screen(request, 3, form, examples=_examples(draft_of(request)))


def _examples(draft: dict[str, Any]) -> list[str]:
    from catalog.ground.say import now

    return rules.examples(draft["pattern"], now().year, int(draft["last_on_paper"]))


def _said(request: Any, more: dict[str, Any]) -> OpeningSaid:
    draft = draft_of(request)
    return OpeningSaid(
        person=draft.get("person", ""),
        email=draft.get("email", ""),
        password=draft.get("password"),
        hashed=True,
        name=more.get("name") or draft.get("name", ""),
        code=more.get("code") or draft.get("code", ""),
        pattern=draft.get("pattern", "{year}.{n}"),
        last_on_paper=int(draft.get("last_on_paper", 0)),
        zone=more.get("zone") or "UTC",
        currency=more.get("currency") or "EUR",
        alone=more.get("alone") == "yes",
        witness=more.get("witness") or "",
        checkpoint_mail=more.get("checkpoint_mail") or "",
    )
