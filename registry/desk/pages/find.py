"""Find or do: the one box, and what it offers to the choosers of forms."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render

from catalog.ground.http import Asked, page
from catalog.ground.problems import refusal_with
from registry.desk import reads
from registry.desk.pages.opened import noted, see_other

_LONGEST = 200


@page("public.read")
def find(request: Asked) -> HttpResponse:
    """What bears this number, what to do with it, what is like it. With `go` (Enter) the one answer is opened at once."""
    text = typed(request)
    found = reads.looked_up(request.actor, text)
    if found.go and request.GET.get("go"):
        return noted(request, see_other(found.go), found.go_number)
    return render(request, "desk/find.html", {"found": found, "q": text})


@page("find")
def suggest(request: Asked) -> HttpResponse:
    """At most eight of a kind, for a chooser: value, name, hint."""
    items = reads.suggested(request.actor, request.GET.get("kind", ""), typed(request))
    return JsonResponse({"items": items}, headers={"Cache-Control": "private, no-store"})


def typed(request: HttpRequest) -> str:
    """What stands in the box, in one line."""
    text = " ".join(request.GET.get("q", "").split())[:_LONGEST]
    if "\x00" in text or any("\ud800" <= c <= "\udfff" for c in text):
        raise refusal_with(400, "This text cannot be read. Type the number or the name.")
    return text
