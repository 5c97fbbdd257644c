"""Pages of papers on record."""

from __future__ import annotations

import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.casts.models import Cast
from catalog.casts.reads import cast_at
from catalog.excavations.models import Excavation, Permit
from catalog.excavations.reads import excavation_at, permit_at
from catalog.ground.http import Asked, page, refusals_on, status_of
from catalog.ground.refusal import NotAllowed, NotFound, refuse_if
from catalog.ground.roles import may
from catalog.media import actions, reads, rules, serving
from catalog.media.files import KIND_NAMED, Received, receive_paper
from catalog.media.forms import DocumentForm
from catalog.media.models import Document
from catalog.media.pages import once_here

Thing = Cast | Excavation | Permit


@page("cast.describe", once_only=False)
def of_cast(request: Asked, number: str) -> HttpResponse:
    """Put a paper on record with a cast."""
    cast = cast_at(request.actor, number)
    return _new(request, cast, cast.href)


@page("cast.describe", once_only=False)
def of_excavation(request: Asked, number: str) -> HttpResponse:
    dig = excavation_at(request.actor, number)
    return _new(request, dig, f"/excavations/{dig.number}/")


@page("permit.write", once_only=False)
def of_permit(request: Asked, pk: int) -> HttpResponse:
    permit = permit_at(request.actor, pk)
    return _new(request, permit, f"/permits/{permit.pk}/")


def _new(request: Asked, of: Thing, href: str) -> HttpResponse:
    form = DocumentForm(request.POST or None, request.FILES or None, with_permits=not isinstance(of, Cast))
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            upload = form.cleaned_data["paper"].file
            file = receive_paper(upload) if upload else None
            return once_here(request, lambda: _kept(request, of, href, file, form.said()))
    facts = {"form": form, "of": of, "href": href, "act": "Put it on record"}
    return render(request, "media/new_document.html", facts, status=status_of(form))


def _kept(request: Asked, of: Thing, href: str, file: Received | None, said: dict[str, Any]) -> HttpResponse:
    with_: dict[str, Any] = {{Cast: "cast", Excavation: "excavation", Permit: "permit"}[type(of)]: of}
    made = actions.keep_document(request.actor, upload=file, **with_, **said)
    messages.success(request, f"The {made.get_kind_display()} is on record with {of}.")
    return redirect(href)


@page("record.read")
def document(request: Asked, uid: uuid.UUID) -> HttpResponse:
    """One paper: what it is, where it lies, its picture if it has one."""
    found = reads.document_at(request.actor, uid)
    hinders = _hinders(request, found)
    kind = KIND_NAMED.get(found.file_kind)
    facts = {
        "document": found,
        "check": reads.facts_of_check(found.sha256) if found.sha256 else {},
        "hinders": hinders,
        "is_picture": bool(kind and kind.is_picture and not hinders),
    }
    return render(request, "media/document.html", facts)


def _hinders(request: Asked, found: Document) -> list[Any]:
    return rules.hinders_paper_file(
        kind=found.kind,
        category=reads.category_of(found),
        has_position=found.has_position,
        may_know_exact=may(request.actor, "site.exact"),
    )


def _with_file(request: Asked, uid: uuid.UUID) -> Document:
    found = reads.document_at(request.actor, uid)
    if not found.sha256:
        raise NotFound("This paper has no file here. Its page says where the original lies.")
    refuse_if(_hinders(request, found), NotAllowed)
    return found


@page("record.read")
def file(request: Asked, uid: uuid.UUID) -> HttpResponse:
    """The bytes as they came, to be saved, never opened by us."""
    found = _with_file(request, uid)
    of = found.cast or found.excavation or found.permit or found.site or found.person
    return serving.original_of(found, str(of or "paper"), found.kind)


@page("record.read")
def picture(request: Asked, uid: uuid.UUID) -> HttpResponse:
    """Our own picture of a paper that was photographed."""
    found = _with_file(request, uid)
    if not KIND_NAMED[found.file_kind].is_picture:
        raise NotFound("This paper is no picture. Open its file.")
    return serving.our_picture(request.actor, found.sha256, "view")
