"""The collection's vault, and the way of an uploaded file into it: durable before any row names it, pictures opened in a child.

Nothing here writes a row, so that nobody waits for the database while a picture is opened.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile

from catalog.ground import refusal
from catalog.ground.refusal import Reason
from catalog.media.kinds import FIRST_BYTES, KINDS, Kind, kind_of
from catalog.media.pictures import make_derivatives
from catalog.media.refused import NotTaken, TooLarge, quoted
from catalog.media.shelves import Full
from catalog.media.vault import Incoming, Vault

PHOTOGRAPH_KINDS = ("JPEG", "PNG", "WebP", "TIFF", "HEIC", "AVIF")
PAPER_KINDS = (*PHOTOGRAPH_KINDS, "PDF")
KIND_NAMED = {kind.name: kind for kind in KINDS}


@dataclass(frozen=True)
class Received:
    """A file that is kept and not on record yet. Pixels are those of the upright picture, None for a PDF."""

    sha256: str
    size: int
    kind: Kind
    name: str
    width_px: int | None = None
    height_px: int | None = None
    taken_at: datetime | None = None
    has_position: bool = False


def vault() -> Vault:
    """Plain files in the data folder, or the object storage that the settings name."""
    if "vault" in settings.STORAGES:
        from django.core.files.storage import storages

        return Vault(Path(settings.DATA), storages["vault"])
    return Vault(Path(settings.DATA))


def receive_photograph(upload: UploadedFile[bytes], field: str = "photograph") -> Received:
    """Keeps a picture and makes its derivatives. A Refusal on `field` says what it seems to be and what to send."""
    return _receive(upload, field, PHOTOGRAPH_KINDS, "A photograph is a picture; add this one as a paper on record.")


def receive_paper(upload: UploadedFile[bytes], field: str = "paper") -> Received:
    """Keeps a photograph or PDF of a paper."""
    return _receive(upload, field, PAPER_KINDS, "A paper is kept as a picture or a PDF. Save it so and send that.")


def _receive(upload: UploadedFile[bytes], field: str, allowed: tuple[str, ...], instead: str) -> Received:
    with in_words(field):
        ours = vault()
        ours.refuse_if_full()
        name = (upload.name or "").strip()[:300]
        kind = _kind(upload, name, allowed, instead)
        upload.seek(0)
        try:
            incoming = ours.take_in(upload, most_bytes=kind.most_bytes)
        finally:
            upload.seek(0)
        try:
            return _looked_at(ours, incoming, kind, name)
        finally:
            ours.drop(incoming)


def _kind(upload: UploadedFile[bytes], name: str, allowed: tuple[str, ...], instead: str) -> Kind:
    upload.seek(0)
    kind = kind_of(upload.read(FIRST_BYTES), name, upload.size)
    if kind.name not in allowed:
        raise NotTaken(f"{quoted(name)} is a {kind.name} file. {instead}")
    return kind


def _looked_at(ours: Vault, incoming: Incoming, kind: Kind, name: str) -> Received:
    if not kind.is_picture:
        kept = ours.keep(incoming)
        return Received(kept.sha256, kept.size, kind, name)
    with ours.workroom() as room:
        derived = make_derivatives(incoming.path, room)
        kept = ours.keep(incoming)
        ours.keep_derived(kept.sha256, derived.files)
    return Received(
        kept.sha256,
        kept.size,
        kind,
        name,
        width_px=derived.width,
        height_px=derived.height,
        taken_at=derived.taken_at,
        has_position=derived.has_position,
    )


@contextmanager
def in_words(field: str) -> Iterator[None]:
    """What the vault refuses, as a refusal of the house."""
    try:
        yield
    except TooLarge as no:
        raise refusal.TooLarge(Reason(str(no), field)) from no
    except NotTaken as no:
        raise refusal.Refusal(Reason(str(no), field)) from no
    except Full as no:
        raise refusal.Full(Reason(str(no), field)) from no


def derivative(sha256: str, size: str) -> BinaryIO:
    """Our own picture of an original, `thumb` or `view`; made again where it was lost. FileNotFoundError without an original."""
    ours = vault()
    with contextlib.suppress(FileNotFoundError):
        return ours.open_derived(sha256, size)
    with in_words(""), ours.workroom() as room, ours.on_disk(sha256) as original:
        ours.keep_derived(sha256, make_derivatives(original, room).files)
    return ours.open_derived(sha256, size)
