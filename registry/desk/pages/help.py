"""Help: how to keep the data safe, the keys, and a page for every problem that the API names."""

from __future__ import annotations

from django.conf import settings
from django.db import connection
from django.http import HttpResponse
from django.shortcuts import render

from catalog.ground.http import Asked, page
from catalog.ground.refusal import NotFound
from registry.desk.problems import PROBLEMS


@page("public.read")
def help_page(request: Asked) -> HttpResponse:
    """Where to read on."""
    return render(request, "desk/help.html", {"problems": PROBLEMS})


@page("record.read")
def keep_it_safe(request: Asked) -> HttpResponse:
    """The one safe way to copy database and files."""
    facts = {"on_postgres": connection.vendor == "postgresql", "in_vault": "vault" in settings.STORAGES}
    return render(request, "desk/keep_it_safe.html", facts)


@page("public.read")
def problem(request: Asked, kind: str) -> HttpResponse:
    """What a problem of this kind means, and what to do."""
    if kind not in PROBLEMS:
        raise NotFound("There is no problem of this name.")
    return render(request, "desk/problem.html", {"problem": PROBLEMS[kind]})
