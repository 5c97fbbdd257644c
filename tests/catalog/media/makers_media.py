"""Pictures and uploads for tests of photographs, papers and visitors' pages."""

from __future__ import annotations

import io
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from catalog.ground.roles import Actor
from catalog.media import actions
from catalog.media.models import Photograph
from tests import builders

CANARY = b"53.72347"


def jpeg(
    *, colour: tuple[int, int, int] = (139, 143, 140), with_position: bool = False, size: Any = (400, 300)
) -> bytes:
    """A small photograph; `with_position` as a phone writes it: GPS, description, comment."""
    picture, out = Image.new("RGB", size, colour), io.BytesIO()
    exif = Image.Exif()
    if with_position:
        exif[0x010E] = f"nest at {CANARY.decode()}"
        exif.get_ifd(0x8825).update({1: "N", 2: (53.0, 43.0, 24.5), 3: "E", 4: (7.0, 21.0, 8.25)})
    more = {"comment": b"nest at " + CANARY} if with_position else {}
    picture.save(out, "JPEG", exif=exif, **more)
    return out.getvalue()


def upload(inside: bytes | None = None, name: str = "IMG_0001.jpg", kind: str = "image/jpeg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, jpeg() if inside is None else inside, kind)


def photograph(actor: Actor | None = None, *, inside: bytes | None = None, **of: Any) -> Photograph:
    """One photograph, kept by the action."""
    if not of.keys() & {"cast", "piece", "excavation"}:
        of["cast"] = builders.cast()
    return actions.keep_photograph(actor or builders.saar(), upload(inside), **of)
