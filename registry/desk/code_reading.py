"""Reads the code on a photograph (QR, Code 128, Data Matrix). The photograph is opened in a child process only."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

from catalog.media.kinds import FIRST_BYTES, kind_of
from catalog.media.pictures import make_derivatives
from catalog.media.refused import NotTaken

_LONGEST_SIDE_PX = 2400  # a code of 25 modules across a twentieth of the picture keeps 4 pixels a module


def code_on(photograph: Any, folder: Path) -> str:
    """The text of the code on an uploaded photograph; empty where none is read. Raises NotTaken for what is no picture."""
    first = photograph.read(FIRST_BYTES)
    photograph.seek(0)
    kind = kind_of(first, photograph.name, photograph.size)
    if not kind.is_picture:
        raise NotTaken(f"This is {kind.name}, not a photograph. Photograph the code, or type the number.")
    with tempfile.TemporaryDirectory(dir=folder) as place:
        path = Path(place) / f"photograph{kind.ending}"
        with path.open("wb") as file:
            for chunk in photograph.chunks():
                file.write(chunk)
        made = make_derivatives(path, Path(place), {"code": _LONGEST_SIDE_PX})
        return _text_in(made.files["code"])


def _text_in(picture: Path) -> str:
    import zxingcpp
    from PIL import Image

    wanted = zxingcpp.barcode_formats_from_str("QRCode|Code128|DataMatrix")
    with Image.open(picture) as opened:  # our own JPEG, made of pixels
        found = zxingcpp.read_barcodes(opened.convert("L"), formats=wanted)
    texts = [code.text for code in found if code.text]
    ours = [text for text in texts if "/q/" in text.lower()]
    return next(iter(ours or texts), "")
