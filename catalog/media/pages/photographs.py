"""Pages of photographs: those of a cast or an excavation, one of them, and its files."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts.models import Cast
from catalog.casts.reads import cast_at
from catalog.excavations.models import Excavation
from catalog.excavations.reads import excavation_at
from catalog.ground import say
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.once import check_key, fingerprint, once
from catalog.ground.refusal import NotAllowed, NotFound, refuse_if
from catalog.ground.roles import may
from catalog.media import actions, reads, rules, serving
from catalog.media.files import receive_photograph
from catalog.media.forms import ChangePhotographForm, PhotographForm, WithdrawForm
from catalog.media.models import Photograph

Thing = Cast | Excavation


def once_here(request: Asked, run: Callable[[], HttpResponse]) -> HttpResponse:
    """A doubled press is one act. Apart from the door's, so that files are received before the database is held."""
    key = request.POST.get("key", "")
    return once(request.actor, check_key(key), fingerprint(request), run) if key else run()


# the photographs of one thing


@page("record.read")
def of_cast(request: Asked, number: str) -> HttpResponse:
    """The photographs of a cast and its pieces, and where to add more."""
    return _gallery(request, cast_at(request.actor, number))


@page("record.read")
def of_excavation(request: Asked, number: str) -> HttpResponse:
    return _gallery(request, excavation_at(request.actor, number))


@page("photo.add", once_only=False)
def add_to_cast(request: Asked, number: str) -> HttpResponse:
    """Take or choose photographs of a cast."""
    return _add(request, cast_at(request.actor, number))


@page("photo.add", once_only=False)
def add_to_excavation(request: Asked, number: str) -> HttpResponse:
    return _add(request, excavation_at(request.actor, number))


def _gallery(request: Asked, of: Thing) -> HttpResponse:
    facts = _of(of) | {"photographs": list(reads.photographs_of(request.actor, of)), "form": _form(of)}
    facts["withdrawn"] = list(reads.withdrawn_of(request.actor, of))
    return render(request, "media/photographs.html", facts)


def _add(request: Asked, of: Thing) -> HttpResponse:
    form = _form(of, request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            files = [receive_photograph(upload) for upload in form.cleaned_data["photograph"]]
            return once_here(request, lambda: _kept(request, of, files, form.said()))
    facts = _of(of) | {"form": form, "act": f"Keep them with {of}"}
    return render(request, "media/add_photographs.html", facts, status=status_of(form))


def _kept(request: Asked, of: Thing, files: list[Any], said: dict[str, Any]) -> HttpResponse:
    place = {"cast": of} if isinstance(of, Cast) else {"excavation": of}
    actions.keep_photographs(request.actor, files, **place, **said)
    kept = say.capital(say.plural(len(files), "photograph"))
    messages.success(request, f"{kept} {'is' if len(files) == 1 else 'are'} kept with {of}.")
    return redirect(f"{_of(of)['href']}photographs/")


def _form(of: Thing, *args: Any) -> PhotographForm:
    return PhotographForm(*args, of_dig=isinstance(of, Excavation))


def _of(of: Thing) -> dict[str, Any]:
    if isinstance(of, Cast):
        return {"of": of, "href": of.href, "word": "Casts", "up": "/casts/"}
    return {"of": of, "href": f"/excavations/{of.number}/", "word": "Excavations", "up": "/excavations/"}


# one photograph


@page("record.read")
def photograph(request: Asked, uid: uuid.UUID) -> HttpResponse:
    """One photograph large, what is known of it, and the way to its original."""
    found = reads.photograph_at(request.actor, uid)
    facts = _about(found) | {
        "check": reads.facts_of_check(found.sha256),
        "hinders": _hinders(request, found),
        "may_add": may(request.actor, "photo.add"),
        "kept_until": found.withdrawn_on + reads.WITHDRAWN_KEPT if found.withdrawn_on else None,
    }
    return render(request, "media/photograph.html", facts)


def _about(found: Photograph) -> dict[str, Any]:
    of = found.piece or found.cast or found.excavation
    href = f"/excavations/{of.number}/" if isinstance(of, Excavation) else of.href  # type: ignore[union-attr]
    return {"photograph": found, "of": of, "of_href": href, "rights": rules.rights_said(found.rights)}


def _hinders(request: Asked, found: Photograph) -> list[Any]:
    return rules.hinders_original(
        has_position=found.has_position,
        category=reads.category_of(found),
        may_know_exact=may(request.actor, "site.exact"),
    )


@page("photo.add")
def change(request: Asked, uid: uuid.UUID) -> HttpResponse:
    found = reads.photograph_at(request.actor, uid)
    begin = ChangePhotographForm.begin(found)
    form = ChangePhotographForm(
        request.POST or None, initial=begin, of_dig=found.excavation is not None, view_now=found.view
    )
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.change_photograph(
                request.actor, found.pk, form.said(), expected_version=form.cleaned_data["version"]
            )
            return redirect(f"/photographs/{found.uid}/")
    facts = _about(found) | {"form": form, "act": "Write it down"}
    return render(request, "media/change_photograph.html", facts, status=status_of(form))


@page("photo.add")
def withdraw(request: Asked, uid: uuid.UUID) -> HttpResponse:
    """Takes a photograph off its thing, with the reason."""
    found = reads.photograph_at(request.actor, uid)
    form = WithdrawForm(request.POST or None, initial={"version": found.version})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            seen = form.cleaned_data["version"]
            actions.withdraw_photograph(request.actor, found.pk, form.cleaned_data["reason"], expected_version=seen)
            return redirect(f"/photographs/{found.uid}/")
    facts = _about(found) | {"form": form, "act": "Take it off"}
    return render(request, "media/withdraw_photograph.html", facts, status=status_of(form))


@page("photo.add")
def put_back(request: Asked, uid: uuid.UUID) -> HttpResponse:
    found = reads.photograph_at(request.actor, uid)
    if request.method == "POST":
        actions.put_back_photograph(request.actor, found.pk)
    return redirect(f"/photographs/{found.uid}/")


@page("photo.add")
def first(request: Asked, uid: uuid.UUID) -> HttpResponse:
    """This one stands for its thing from now on."""
    found = reads.photograph_at(request.actor, uid)
    if request.method == "POST":
        actions.choose_first(request.actor, found.pk)
        messages.success(request, "This picture comes first now.")
    return redirect(f"/photographs/{found.uid}/")


# its files


@page("public.read")
def picture(request: Asked, uid: uuid.UUID, size: str) -> HttpResponse:
    """Our own picture of it, without position: `thumb` or `view`."""
    if size not in ("thumb", "view"):
        raise NotFound("There are two sizes: thumb and view.")
    found = reads.photograph_at(request.actor, uid)
    return serving.our_picture(request.actor, found.sha256, size)


@page("record.read")
def original(request: Asked, uid: uuid.UUID) -> HttpResponse:
    """The bytes as they came, for who may have them."""
    found = reads.photograph_at(request.actor, uid)
    refuse_if(_hinders(request, found), NotAllowed)
    of = found.piece or found.cast or found.excavation
    return serving.original_of(found, str(of), "photograph")
