"""How a file leaves the house: our own pictures inline, what people sent as an attachment that no browser runs."""

from __future__ import annotations

from typing import Any, BinaryIO

from django.conf import settings
from django.http import FileResponse, HttpResponse
from django.utils.cache import patch_vary_headers

from catalog.ground.refusal import Hindered
from catalog.ground.roles import HOUSE, Actor
from catalog.media import actions, reads, rules
from catalog.media.files import KIND_NAMED, derivative, vault
from catalog.media.models import Document, Photograph

# nothing that a file holds is run, drawn or followed, whatever a browser makes of it
_SHUT = {
    "Content-Security-Policy": "default-src 'none'; sandbox",
    "X-Content-Type-Options": "nosniff",
    "Cross-Origin-Resource-Policy": "same-origin",
}
_STAFF_CACHE = "private, max-age=3600"
_PUBLIC_CACHE = "public, max-age=300"


def our_picture(reader: Actor, sha256: str, size: str) -> HttpResponse:
    """A derivative, re-encoded from pixels alone. A public cache keeps it for five minutes, so that what is taken back is gone."""
    try:
        response = FileResponse(derivative(sha256, size), content_type="image/jpeg")
    except FileNotFoundError:
        raise Hindered(rules.GONE.format(short=sha256[:12])) from None
    response["Cache-Control"] = _STAFF_CACHE if reader.signed_in else _PUBLIC_CACHE
    response["Content-Disposition"] = "inline"
    patch_vary_headers(response, ["Cookie"])
    return response  # type: ignore[return-value]


def original_of(record: Photograph | Document, number: str, what: str) -> HttpResponse:
    """The bytes as they came, hashed before they go out. Hindered, and on record, where they are damaged or gone."""
    sha256 = record.sha256
    stream = _sound(sha256)
    kind = KIND_NAMED[record.file_kind]
    name = rules.file_name(number, what, sha256, kind.ending)
    response = _handed_over(stream, sha256, kind.content_type)
    response["Content-Disposition"] = f"attachment; filename=\"{name}\"; filename*=UTF-8''{name}"
    response["Cache-Control"] = "private, no-store"
    for header, value in _SHUT.items():
        response[header] = value
    return response


def _sound(sha256: str) -> BinaryIO:
    stands, words = actions.look_at(sha256)
    _note(sha256, stands, words)
    if not stands:
        raise Hindered((rules.GONE if words == "missing" else rules.DAMAGED).format(short=sha256[:12]))
    return vault().open(sha256)


def _note(sha256: str, stands: bool, words: str) -> None:
    """What a look found is kept: once a day while it stands, at once when that has changed."""
    last = reads.last_check(sha256)
    if last is None or last.stands != stands or not reads.is_of_today(last):
        actions.record_checks(HOUSE, [(sha256, stands, words)])


def _handed_over(stream: BinaryIO, sha256: str, content_type: str) -> Any:
    """By the proxy where the settings name its inner address of the vault, else by ourselves."""
    prefix = getattr(settings, "ACCEL", "")
    if prefix and "vault" not in settings.STORAGES:
        stream.close()
        response = HttpResponse(content_type=content_type)
        response["X-Accel-Redirect"] = f"{prefix.rstrip('/')}/files/{sha256[:2]}/{sha256}"
        return response
    return FileResponse(stream, content_type=content_type)
