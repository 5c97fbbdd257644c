"""Pixels to clean derivatives: shrink, turn upright, bring to sRGB, paste into a new image, save without metadata.

Runs only in the child process of `pictures`, which sets the limits.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from io import BytesIO
from pathlib import Path

from PIL import ExifTags, Image, ImageCms, ImageOps

QUALITY = 82
STRIP_ROWS = 512
ALPHA = ("RGBA", "LA")


def load(picture: Image.Image, sizes: Mapping[str, int]) -> None:
    """Decode the pixels, a JPEG as coarsely as the largest size allows. `load` finds what `verify` passes: half a file."""
    longest = max(sizes.values())
    picture.draft(None, (2 * longest, 2 * longest))
    picture.load()


def develop(picture: Image.Image, into: Path, sizes: Mapping[str, int]) -> dict[str, str]:
    """Write one JPEG of a loaded picture for each size (longest side in pixels, never enlarged); size name to file name."""
    clean = _clean(picture, max(sizes.values()))
    files = {}
    for name, longest in sizes.items():
        derivative = clean.copy()
        derivative.thumbnail((longest, longest))
        files[name] = f"{name}.jpg"
        derivative.save(into / files[name], "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return files


def turned(picture: Image.Image) -> bool:
    """Whether a loaded picture's width and height, as its head gave them, change places when it is put upright."""
    return _orientation(picture) in (5, 6, 7, 8)


def _clean(picture: Image.Image, longest: int) -> Image.Image:
    small = _shrunk(picture, longest)
    small.getexif()[ExifTags.Base.Orientation] = _orientation(picture)
    upright = ImageOps.exif_transpose(small)
    colours = _in_srgb(upright, picture.info.get("icc_profile"))
    clean = Image.new("RGB", upright.size, "white")  # a new image: nothing but pixels goes over
    clean.paste(colours, mask=upright.getchannel("A") if upright.mode in ALPHA else None)
    return clean


def _orientation(picture: Image.Image) -> int:
    """1 to 8 as in Exif 2.32, 4.6.4; of a loaded picture, since TIFF and HEIC are turned while they load."""
    try:
        value = picture.getexif().get(ExifTags.Base.Orientation, 1)
    except Exception:  # a torn block raises whatever its bytes lead to
        return 1
    return value if value in range(1, 9) else 1


def _shrunk(picture: Image.Image, longest: int) -> Image.Image:
    """By averaging down to twice `longest` at least, then resampled to it; in strips, so that no second whole copy
    stands in memory beside the first."""
    factor = max(1, max(picture.size) // (2 * longest))
    readable = _reader_of(picture)
    rows, width = factor * max(1, STRIP_ROWS // factor), picture.width
    tops = range(0, picture.height, rows)
    strips = [readable(picture.crop((0, top, width, min(top + rows, picture.height)))).reduce(factor) for top in tops]
    whole = Image.new(strips[0].mode, (strips[0].width, sum(strip.height for strip in strips)))
    for strip, top in zip(strips, tops, strict=True):
        whole.paste(strip, (0, top // factor))
    whole.thumbnail((longest, longest))
    return whole


def _reader_of(picture: Image.Image) -> Callable[[Image.Image], Image.Image]:
    """How to bring a strip to a mode that can be shrunk by averaging, with 8 bits a channel."""
    if picture.mode.startswith("I;16"):
        return lambda strip: strip.point(lambda value: value * (1 / 257)).convert("L")
    if picture.mode in ("I", "F"):
        low, high = picture.getextrema()
        step = 255 / ((high - low) or 1)  # type: ignore[operator]
        return lambda strip: strip.point(lambda value: value * step + -low * step).convert("L")  # type: ignore[operator]
    if "transparency" in picture.info or picture.mode in ("PA", "La", "RGBa"):
        return lambda strip: strip.convert("RGBA")
    mode = {"1": "L", "P": "RGB", "RGBX": "RGB", "HSV": "RGB", "YCbCr": "RGB"}.get(picture.mode, picture.mode)
    return lambda strip: strip.convert(mode)


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """RGB as screens without colour management show it; a profile that does not fit its picture is passed over."""
    opaque = picture.convert({"RGBA": "RGB", "LA": "L"}.get(picture.mode, picture.mode))
    space = ImageCms.createProfile("LAB") if picture.mode == "LAB" else None
    if space is None and not profile:
        return opaque.convert("RGB")
    try:
        source = ImageCms.ImageCmsProfile(space or BytesIO(profile or b""))
        shown = ImageCms.profileToProfile(opaque, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError):
        return opaque.convert("RGB")
    return shown if shown is not None else opaque.convert("RGB")
