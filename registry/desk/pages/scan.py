"""Scanning: the page, a photograph that is read here, and where the code on a label leads."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urlencode

from django.conf import settings
from django.http import HttpResponse, HttpResponseRedirect, JsonResponse
from django.shortcuts import render
from django.views.decorators.csrf import ensure_csrf_cookie

from catalog.ground.collection import collection
from catalog.ground.http import Asked, page
from catalog.media.refused import NotTaken
from registry.desk import reads
from registry.desk.code_reading import code_on
from registry.desk.pages.opened import noted, opened_last, see_other


@ensure_csrf_cookie
@page("public.read")
def scan(request: Asked) -> HttpResponse:
    """Camera, photograph, field; and what was scanned last on this device."""
    return render(request, "desk/scan.html", {"opened": opened_last(request)})


@page("subject.find", once_only=False)
def read(request: Asked) -> HttpResponse:
    """The text of the code on a photograph. Nothing is kept, nothing is followed."""
    photograph = request.FILES.get("photograph")
    if request.method != "POST" or photograph is None:
        return JsonResponse({"text": "", "says": "Send a photograph of the code."}, status=422)
    try:
        text = code_on(photograph, Path(settings.FILE_UPLOAD_TEMP_DIR))
    except NotTaken as no:
        return JsonResponse({"text": "", "says": str(no)}, status=422)
    return JsonResponse({"text": text, "says": "" if text else "No code was found on this photograph."})


@page("public.read")
def code(request: Asked, number: str) -> HttpResponse:
    """Where a label's code leads: the staff to the thing, everybody to what is published, else one page for every number."""
    text = number.rstrip("/")
    if not request.actor.staff:
        if "sign-in" in request.GET:
            return HttpResponseRedirect(f"/sign-in/?{urlencode({'next': request.path})}")
        href = reads.shown_to_visitors(text)
        return see_other(href) if href else stranger(request)
    found = reads.bearers(request.actor, text)
    if one := reads.the_one(found):
        return noted(request, see_other(one.href), one.number)
    status = 404 if not found else 200
    return render(request, "desk/not_ours.html", {"text": text[:200], "found": found}, status=status)


def stranger(request: Asked) -> HttpResponse:
    """Whose it is and how to reach us: the same bytes for every number, there or not."""
    response = render(request, "desk/stranger.html", {"ours": collection()})
    response["X-Robots-Tag"] = "noindex"
    return response
