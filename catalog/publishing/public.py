"""Pages that everybody may read: a public cache keeps them for five minutes, so that what is taken back is gone soon."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.utils.cache import patch_vary_headers


def for_everybody(request: Any, response: HttpResponse) -> HttpResponse:
    """Cached for who is signed out; whoever is signed in gets their own."""
    if not request.actor.signed_in:
        response["Cache-Control"] = "public, max-age=300"
        patch_vary_headers(response, ["Cookie"])
    return response
