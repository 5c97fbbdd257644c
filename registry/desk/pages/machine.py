"""What machines ask for: is the house up, the service worker, the API's document; and the pages that explain the API."""

from __future__ import annotations

from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.db import DatabaseError, connection
from django.http import HttpResponse
from django.shortcuts import render

from catalog.ground.http import Asked, page
from registry.desk import openapi


@page("public.read")
def ok(request: Asked) -> HttpResponse:
    """200 where the house answers and its database does too, else 503."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return HttpResponse("no database\n", status=503, content_type="text/plain", headers={"Retry-After": "2"})
    return HttpResponse("ok\n", content_type="text/plain", headers={"Cache-Control": "no-store"})


@page("public.read")
def service_worker(request: Asked) -> HttpResponse:
    """The service worker of the look, from the top of the house so that it serves every page."""
    body = Path(str(finders.find("look/sw.js"))).read_bytes()
    headers = {"Service-Worker-Allowed": "/", "Cache-Control": "no-cache"}
    return HttpResponse(body, content_type="text/javascript; charset=utf-8", headers=headers)


@page("public.read")
def document(request: Asked) -> HttpResponse:
    """The OpenAPI document of the whole API."""
    return HttpResponse(openapi.document_text(), content_type="application/json", headers={"Cache-Control": "no-cache"})


@page("public.read")
def api(request: Asked) -> HttpResponse:
    """What the API is, the first request, every resource."""
    facts = {"resources": openapi.resources(), "base": settings.BASE_ADDRESS}
    return render(request, "desk/api.html", facts)


@page("public.read")
def docs(request: Asked) -> HttpResponse:
    """Every operation: what it asks, what is sent, what comes back; to be tried with one's own token."""
    return render(request, "desk/docs.html", {"resources": openapi.resources(), "base": settings.BASE_ADDRESS})
