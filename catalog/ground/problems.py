"""Errors as RFC 9457 problem documents, for the API."""

from __future__ import annotations

import json
from typing import Any

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.utils.encoders import JSONEncoder

from catalog.ground.refusal import NotFound, Reason, Refusal, Stale

TITLES = {
    400: "Cannot be read",
    401: "Who are you",
    403: "Not yours to do",
    404: "Not one of ours",
    405: "Not done this way",
    406: "Not in that form",
    415: "Not in that form",
    422: "Not written",
    428: "Say which version you saw",
    429: "Too many at once",
}


def problem(request: HttpRequest, refusal: Refusal, *, status: int = 0, title: str = "") -> HttpResponse:
    """One refusal as `application/problem+json`; fields by JSON Pointer (RFC 6901)."""
    status = status or refusal.status
    document: dict[str, Any] = {
        "type": f"{settings.BASE_ADDRESS}/help/problems/{refusal.kind}/",
        "title": title or refusal.title,
        "status": status,
        "detail": " ".join(dict.fromkeys(r.sentence for r in refusal.reasons)),
        "instance": request.path,
    }
    errors = [_error(r) for r in refusal.reasons if r.field or r.remedy]
    if errors:
        document["errors"] = errors
    document |= {
        k: v for k, v in refusal.more.items() if k in ("missing", "now", "scope", "known", "instead", "remedy")
    }
    response = HttpResponse(json.dumps(document, ensure_ascii=False, cls=JSONEncoder), status=status)
    response["Content-Type"] = "application/problem+json"
    if status == 401:
        response["WWW-Authenticate"] = "Bearer"
    return response


def _error(reason: Reason) -> dict[str, str]:
    found = {"pointer": f"/{reason.field}" if reason.field else "", "detail": reason.sentence}
    return found | {k: v for k, v in (("said", reason.said), ("remedy", reason.remedy)) if v}


def answer_to(error: Exception, context: dict[str, Any]) -> Response | HttpResponse | None:
    """DRF's exception handler. What is not a refusal goes on to the door, which logs it."""
    from catalog.ground.middleware import answer, as_refusal

    request = context["request"]._request
    refusal = _from_rest(error) or as_refusal(error)
    if refusal is None:
        return None
    if isinstance(refusal, Stale) and refusal.now is not None and "show" in context["view"].__class__.__dict__:
        refusal.more["now"] = context["view"].show(refusal.now)
    return answer(request, refusal)


class _Rest(Refusal):
    def __init__(self, status: int, *reasons: Reason | str, **more: object) -> None:
        super().__init__(*reasons, **more)
        self.status = status
        self.title = TITLES.get(status, "Not written")
        self.kind = self.title.lower().replace(" ", "-")


def refusal_with(status: int, *reasons: Reason | str, **more: object) -> Refusal:
    """A refusal of the web's own kind: 400, 401, 405, 415, 428, 429."""
    return _Rest(status, *reasons, **more)


def _from_rest(error: Exception) -> Refusal | None:
    if isinstance(error, Http404):
        return NotFound("There is no such thing here, or none that you may know of.")
    if isinstance(error, PermissionDenied):
        return _Rest(403, "You may not do this.")
    if isinstance(error, exceptions.ValidationError):
        return _Rest(422, *_reasons(error.detail))
    if isinstance(error, exceptions.APIException):
        return _Rest(error.status_code, Reason(_sentence(error)))
    return None


def _sentence(error: exceptions.APIException) -> str:
    if isinstance(error, exceptions.MethodNotAllowed):
        return "This address is not asked that way."
    if isinstance(error, exceptions.UnsupportedMediaType):
        return "Send JSON (application/json) or a form with files (multipart/form-data)."
    if isinstance(error, exceptions.NotAcceptable):
        return "This is answered as JSON."
    return str(error.detail)


def _reasons(detail: Any, path: str = "") -> list[Reason]:
    if isinstance(detail, dict):
        return [
            r
            for k, v in detail.items()
            for r in _reasons(v, f"{path}/{k}" if path else ("" if k == "non_field_errors" else str(k)))
        ]
    if isinstance(detail, list):
        nested = any(isinstance(d, (dict, list)) for d in detail)
        return [r for n, d in enumerate(detail) for r in _reasons(d, f"{path}/{n}" if nested else path)]
    return [Reason(str(detail), path)]
