"""An OpenAPI document as people read it: for each resource its operations, with what is asked, what is sent, what comes back.

Pure: a document in, plain rows out.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from typing import Any

METHODS = ("get", "post", "put", "patch", "delete")
_WHERE = {"path": "in the address", "query": "after ?", "header": "header"}
_MOST_VALUES = 12


@dataclass(frozen=True)
class Member:
    """One parameter or one member of a body: its name, what it is in words, whether it has to be there."""

    name: str
    kind: str
    required: bool = False
    note: str = ""
    where: str = ""


@dataclass(frozen=True)
class Operation:
    """One method of one address. `example` is a body that can be sent, with what is wanted in it."""

    method: str
    address: str
    says: str
    note: str = ""
    parameters: list[Member] = field(default_factory=list)
    body: list[Member] = field(default_factory=list)
    answer: list[Member] = field(default_factory=list)
    answers: list[tuple[str, str]] = field(default_factory=list)
    example: Any = None

    @property
    def key(self) -> str:
        """A name for the place on the page: `get-casts-number`."""
        bare = self.address.removeprefix("/api/v1/").replace("{", "").replace("}", "").strip("/")
        return f"{self.method.lower()}-{bare.replace('/', '-').replace('.', '-')}"

    @property
    def example_text(self) -> str:
        return "" if self.example is None else json.dumps(self.example, ensure_ascii=False, indent=2)


def resources_of(document: dict[str, Any]) -> list[tuple[str, list[Operation]]]:
    """The resources in the order of their names, each with its operations."""
    found: dict[str, list[Operation]] = {}
    for address, item in document["paths"].items():
        name = address.removeprefix("/api/v1/").split("/")[0]
        for method in METHODS:
            if method in item:
                found.setdefault(name, []).append(_operation(document, method, address, item[method]))
    return sorted(found.items())


def _operation(document: dict[str, Any], method: str, address: str, said: dict[str, Any]) -> Operation:
    body = _schema_in(said.get("requestBody", {}))
    good: dict[str, Any] = next(
        (a for status, a in sorted(said.get("responses", {}).items()) if status.startswith("2")), {}
    )
    note = said.get("description", "").strip()
    return Operation(
        method=method.upper(),
        address=address,
        says=(said.get("summary") or note.split("\n")[0] or f"{method} {address}").rstrip("."),
        note=note if said.get("summary") else "\n".join(note.split("\n")[1:]).strip(),
        parameters=[_parameter(document, p) for p in said.get("parameters", [])],
        body=_members(document, body),
        answer=_members(document, _one_of_a_list(document, _schema_in(good))),
        answers=[(s, a.get("description", "")) for s, a in sorted(said.get("responses", {}).items()) if s != "default"],
        example=_example(document, body) if body else None,
    )


def _schema_in(part: dict[str, Any]) -> dict[str, Any]:
    content = part.get("content", {})
    first: dict[str, Any] = content.get("application/json") or next(iter(content.values()), {})
    return dict(first.get("schema", {}))


def _resolved(document: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    """The schema that a reference leads to; of an `allOf` with one part that part."""
    for _ in range(8):
        if "$ref" in schema:
            part: Any = document
            for step in schema["$ref"].removeprefix("#/").split("/"):
                part = part[step]
            schema = {**part, **{k: v for k, v in schema.items() if k != "$ref"}}
        elif len(schema.get("allOf", [])) == 1:
            schema = {**schema["allOf"][0], **{k: v for k, v in schema.items() if k != "allOf"}}
        else:
            break
    return schema


def _one_of_a_list(document: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    """Of a list's answer the schema of one item; of any other itself."""
    schema = _resolved(document, schema)
    items = _resolved(document, schema.get("properties", {}).get("items", {}))
    return dict(items.get("items", schema))


def _members(document: dict[str, Any], schema: dict[str, Any]) -> list[Member]:
    schema = _resolved(document, schema)
    wanted = set(schema.get("required", []))
    return [
        Member(name, _kind(document, part), name in wanted, _resolved(document, part).get("description", ""))
        for name, part in schema.get("properties", {}).items()
    ]


def _parameter(document: dict[str, Any], said: dict[str, Any]) -> Member:
    kind = _kind(document, said.get("schema", {}))
    where = _WHERE.get(said["in"], said["in"])
    return Member(said["name"], kind, bool(said.get("required")), said.get("description", ""), where)


def _alternatives(document: dict[str, Any], schema: dict[str, Any]) -> list[dict[str, Any]]:
    """What a value may be instead, without the ways of saying nothing."""
    parts = [_resolved(document, p) for p in (*schema.get("oneOf", []), *schema.get("anyOf", []))]
    return [p for p in parts if p.get("type") != "null" and any(v not in ("", None) for v in p.get("enum", [1]))]


def _kind(document: dict[str, Any], schema: dict[str, Any]) -> str:
    """A schema in words: `text`, `figure`, `list of text`, `one of plaster, zinc`."""
    schema = _resolved(document, schema)
    if parts := _alternatives(document, schema):
        return " or ".join(dict.fromkeys(_kind(document, p) for p in parts))
    if values := [v for v in schema.get("enum", []) if v not in ("", None)]:
        more = ", …" if len(values) > _MOST_VALUES else ""
        return f"one of {', '.join(map(str, values[:_MOST_VALUES]))}{more}"
    types = schema.get("type", "")
    named = next((t for t in types if t != "null"), "") if isinstance(types, list) else types
    if named == "array":
        return f"list of {_kind(document, schema.get('items', {}))}"
    if named == "string":
        return {"date": "day", "date-time": "instant", "uuid": "uid", "uri": "address", "binary": "file"}.get(
            schema.get("format", ""), "text"
        )
    return {"integer": "whole number", "number": "figure", "boolean": "yes or no", "object": "members"}.get(
        named, "any"
    )


_EXAMPLES = {"integer": 1, "number": 1.5, "boolean": True, "object": {}}


def _example(document: dict[str, Any], schema: dict[str, Any], depth: int = 0) -> Any:
    """A value of this schema: required members only where any are, else all."""
    schema = _resolved(document, schema)
    if parts := _alternatives(document, schema):
        return _example(document, parts[0], depth)
    if values := [v for v in schema.get("enum", []) if v not in ("", None)]:
        return values[0]
    if (members := schema.get("properties")) and depth < 3:
        wanted = schema.get("required") or list(members)[:6]
        return {name: _example(document, members[name], depth + 1) for name in wanted if name in members}
    types = schema.get("type", "string")
    named = next((t for t in types if t != "null"), "string") if isinstance(types, list) else types
    if named == "array":
        return [_example(document, schema.get("items", {}), depth + 1)]
    return _EXAMPLES.get(named, "…")
