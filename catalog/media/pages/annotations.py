"""Marks on one photograph: what is marked, a new mark, one taken off."""

from __future__ import annotations

import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from catalog.ground.http import Asked, page, posted, refusals_on, status_of
from catalog.ground.roles import may
from catalog.media import actions, reads
from catalog.media.asks import holds_mark
from catalog.media.forms import MarkForm, UnmarkForm
from catalog.media.mark_drawing import Mark
from catalog.media.models import Annotation, Photograph


@page("record.read")
def marks(request: Asked, uid: uuid.UUID) -> HttpResponse:
    """The photograph with its marks, the same numbers in the list beside."""
    found = reads.photograph_at(request.actor, uid)
    facts = _marked(request, found) | {"may_draw": may(request.actor, "mark.draw") and not found.withdrawn_on}
    return render(request, "media/marks.html", facts)


@page("mark.draw")
def new(request: Asked, uid: uuid.UUID) -> HttpResponse:
    """Mark something on a photograph."""
    found = reads.photograph_at(request.actor, uid)
    form = MarkForm(posted(request))
    form.pencil = f"mark-{found.uid}"
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            actions.mark(request.actor, found, **form.said())
            messages.success(request, "The mark is on the photograph.")
            return redirect(f"/photographs/{found.uid}/marks/")
    facts = _marked(request, found) | {"form": form, "act": "Keep this mark"}
    return render(request, "media/new_mark.html", facts, status=status_of(form))


@page("mark.draw")
def take_off(request: Asked, pk: int) -> HttpResponse:
    """Takes a mark off, with the reason."""
    held = reads.annotation_at(request.actor, pk)
    form = UnmarkForm(posted(request), initial={"version": held.version})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            seen = form.cleaned_data["version"]
            actions.unmark(request.actor, held.pk, form.cleaned_data["because"], expected_version=seen)
            return redirect(f"/photographs/{held.photograph.uid}/marks/")
    facts = {"form": form, "mark": held, "photograph": held.photograph, "act": "Take it off"}
    facts["hinders"] = holds_mark(held)
    return render(request, "media/take_off_mark.html", facts, status=status_of(form))


def _marked(request: Asked, found: Photograph) -> dict[str, Any]:
    standing = reads.marks_on(request.actor, found)
    return {
        "photograph": found,
        "of": found.piece or found.cast or found.excavation,
        "marks": standing,
        "drawing": reads.drawing_of(found, _numbered(standing)),
    }


def _numbered(standing: list[Annotation]) -> list[Mark]:
    return [Mark(str(n), a.drawn) for n, a in enumerate(standing, 1)]
