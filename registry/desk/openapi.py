"""The API's document (OpenAPI 3.1): made from the resources themselves, completed with what every operation has."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

from registry.desk.openapi_read import METHODS, Operation, resources_of
from registry.desk.problems import PROBLEMS

_SAID = """Casts, pieces, places, excavations, entries, accessions, movements and the register, as JSON.

Sign with `Authorization: Bearer` and a token of yours. Every POST bears an `Idempotency-Key` of your own making, so that
nothing happens twice; every change bears `If-Match` with the ETag you saw. Lists are `items`, `next` and `count`. What
goes wrong comes as `application/problem+json` (RFC 9457), whose `type` is a page that explains it."""

_PROBLEM: dict[str, Any] = {
    "type": "object",
    "required": ["type", "title", "status", "detail", "instance"],
    "properties": {
        "type": {"type": "string", "format": "uri"},
        "title": {"type": "string"},
        "status": {"type": "integer"},
        "detail": {"type": "string", "description": "The sentence that a page would show."},
        "instance": {"type": "string"},
        "errors": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["pointer", "detail"],
                "properties": {
                    "pointer": {"type": "string", "description": "JSON Pointer (RFC 6901) to the member."},
                    "detail": {"type": "string"},
                    "said": {"type": "string"},
                    "remedy": {"type": "string"},
                },
            },
        },
        "missing": {"type": "array", "items": {}},
        "known": {"type": "array", "items": {"type": "string"}},
        "scope": {"type": "string"},
    },
}
_KEY = {
    "name": "Idempotency-Key",
    "in": "header",
    "required": True,
    "description": "16 to 128 letters, figures, dots, hyphens or underlines of your own making. The same key gives the same answer again.",
    "schema": {"type": "string", "minLength": 16, "maxLength": 128, "pattern": "^[A-Za-z0-9._-]{16,128}$"},
}
_MATCH = {
    "name": "If-Match",
    "in": "header",
    "required": True,
    "description": 'The ETag as it was given with the record, such as "v7".',
    "schema": {"type": "string"},
}


def complete(result: dict[str, Any], generator: Any, request: Any, public: bool) -> dict[str, Any]:
    """Adds the headers and the problem that every operation has; `SPECTACULAR_SETTINGS` names it."""
    result["info"]["description"] = _SAID
    result["info"]["license"] = {"name": "Apache 2.0", "identifier": "Apache-2.0"}
    parts = result.setdefault("components", {})
    parts.setdefault("schemas", {})["Problem"] = _PROBLEM
    parts.setdefault("securitySchemes", {})["token"] = {"type": "http", "scheme": "bearer"}
    kinds = ", ".join(PROBLEMS)
    content = {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}}
    parts.setdefault("responses", {})["Problem"] = {
        "description": f"What went wrong. The last part of its type is one of: {kinds}.",
        "content": content,
    }
    for address, item in result["paths"].items():
        for method in METHODS:
            if method in item:
                _complete_one(item[method], method, address)
    return result


def _complete_one(operation: dict[str, Any], method: str, address: str) -> None:
    operation["security"] = [{"token": []}, {}] if method == "get" else [{"token": []}]
    operation.setdefault("responses", {})["default"] = {"$ref": "#/components/responses/Problem"}
    header = {"post": _KEY, "patch": _MATCH, "put": _MATCH, "delete": _MATCH}.get(method)
    there = {p.get("name") for p in operation.get("parameters", [])}
    if header and header["name"] not in there:
        operation.setdefault("parameters", []).append(header)


@lru_cache(maxsize=1)
def document() -> dict[str, Any]:
    """The whole document; made at the first asking, for it takes a second."""
    from drf_spectacular.generators import SchemaGenerator

    return SchemaGenerator().get_schema(request=None, public=True)  # type: ignore[no-any-return, no-untyped-call]


@lru_cache(maxsize=1)
def document_text() -> str:
    from rest_framework.utils.encoders import JSONEncoder

    return json.dumps(document(), ensure_ascii=False, cls=JSONEncoder)


@lru_cache(maxsize=1)
def resources() -> list[tuple[str, list[Operation]]]:
    """Every resource with its operations, as people read them."""
    return resources_of(document())
