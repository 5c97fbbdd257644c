"""The head of a picture: its limits, checked before any pixel is decoded, each refusal with its sentence."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pi_heif  # type: ignore[import-untyped]
from PIL import Image, PngImagePlugin

from catalog.media.refused import NotTaken

MOST_PIXELS = 120_000_000
MOST_SIDE = 30_000
MOST_TEXT_BYTES = 1_000_000
FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "HEIF", "AVIF")

SMALLER = "Save a smaller copy and send that."
BROKEN = "The picture cannot be kept: it is broken or cut off. Send it again from where it is kept."
TOO_MUCH = f"The picture cannot be kept: to open it takes more memory than there is for one. {SMALLER}"
TOO_MUCH_TEXT = "The picture cannot be kept: it carries more than 1 MB of text. Save it without notes and send that."
MORE_THAN_ONE = (
    "The picture cannot be kept: it holds more than one page or frame. "
    "Save each as a picture of its own and send those."
)

PngImagePlugin.MAX_TEXT_MEMORY = MOST_TEXT_BYTES  # Pillow's own stop is at 64 MB
pi_heif.register_heif_opener(thumbnails=False, depth_images=False, aux_images=False, decode_threads=2)


@dataclass(frozen=True)
class Header:
    """What a picture's head says: pixels as stored (before turning), Pillow's name of the format, frames (of a TIFF
    2 stands for more than one)."""

    width: int
    height: int
    format: str
    frames: int


def read_header(path: Path) -> Header:
    """Read and check the head; decodes no pixels. Raises `NotTaken`. For a user's file, call it in the child."""
    with opened(path) as picture:
        return checked(picture)


@contextmanager
def opened(path: Path) -> Iterator[Image.Image]:
    """Pillow's reader on a file, of our formats only; whatever the file's bytes make it raise becomes a sentence."""
    _check_size(*_webp_size(path))  # Pillow lays out the whole canvas of a WebP when it opens it
    try:
        with Image.open(path, formats=FORMATS) as picture:
            yield picture
    except NotTaken:
        raise
    except MemoryError as error:
        raise NotTaken(TOO_MUCH) from error
    except Image.DecompressionBombError as error:
        raise NotTaken(_too_many_pixels("far too many")) from error
    except Exception as error:
        if isinstance(error, OSError) and error.errno is not None:
            raise  # the disk's fault, not the picture's
        raise NotTaken(TOO_MUCH_TEXT if "MAX_TEXT" in str(error) else BROKEN) from error


def checked(picture: Image.Image) -> Header:
    """The head of an opened picture, or `NotTaken` where it is beyond a limit."""
    _check_size(*picture.size)
    of_phone = picture.format == "MPO"  # several pictures in one JPEG; the first is the photograph
    header = Header(*picture.size, "JPEG" if of_phone else str(picture.format), _frames(picture))
    if header.frames > 1 and not of_phone:
        raise NotTaken(MORE_THAN_ONE)
    return header


def _check_size(width: int, height: int) -> None:
    if max(width, height) > MOST_SIDE:
        raise NotTaken(
            f"The picture cannot be kept: it is {width} by {height} pixels, and a side may have up to {MOST_SIDE}. "
            + SMALLER
        )
    if width * height > MOST_PIXELS:
        raise NotTaken(_too_many_pixels(f"{width * height / 1e6:.0f}"))


def _too_many_pixels(millions: str) -> str:
    most = MOST_PIXELS // 1_000_000
    return (
        f"The picture cannot be kept: it has {millions} million pixels, and up to {most} million are taken. {SMALLER}"
    )


def _frames(picture: Image.Image) -> int:
    if picture.format != "TIFF":
        return int(getattr(picture, "n_frames", 1))
    try:
        picture.seek(1)  # n_frames would walk all pages, and a made-up file may have millions
    except EOFError:
        return 1
    return 2


def _webp_size(path: Path) -> tuple[int, int]:
    """Width and height from the first chunk of a WebP (RFC 9649, 2.5 to 2.7); 0, 0 for any other file."""
    with path.open("rb") as file:
        head = file.read(30)
    chunk, short = head[12:16], [int.from_bytes(head[at : at + 2], "little") for at in range(0, 30, 2)]
    if head[:4] != b"RIFF" or head[8:12] != b"WEBP" or len(head) < 30:
        return 0, 0
    if chunk == b"VP8X":
        return 1 + int.from_bytes(head[24:27], "little"), 1 + int.from_bytes(head[27:30], "little")
    if chunk == b"VP8L":
        bits = int.from_bytes(head[21:25], "little")
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    return short[13] & 0x3FFF, short[14] & 0x3FFF
