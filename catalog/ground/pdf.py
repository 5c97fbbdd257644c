"""A paper that we set ourselves, as an answer: shown where it is asked for."""

from __future__ import annotations

from django.http import HttpResponse

from catalog.ground.models import Paper

# the reader of the browser needs its own style and plugin; nothing else may be fetched or run from a paper
POLICY = "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; frame-ancestors 'none'; base-uri 'none'"


def pdf_answer(body: bytes | memoryview, name: str) -> HttpResponse:
    """`name` is the file's, without its ending."""
    response = HttpResponse(bytes(body), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    response["Content-Security-Policy"] = POLICY
    response["Cross-Origin-Resource-Policy"] = "same-origin"
    return response


def as_kept(kept: Paper) -> HttpResponse:
    """The kept bytes, as they were."""
    return pdf_answer(kept.body, f"{kept.number}-{kept.kind}")
