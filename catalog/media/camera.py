"""What a camera wrote into a picture: when, with what, and whether it tells the place. Exif 2.32 (CIPA DC-008)."""

from __future__ import annotations

import warnings
from datetime import datetime
from typing import Any

from PIL import ExifTags, Image

TAKEN = ((ExifTags.Base.DateTimeOriginal, ExifTags.Base.OffsetTimeOriginal),
         (ExifTags.Base.DateTimeDigitized, ExifTags.Base.OffsetTimeDigitized))  # fmt: skip
PLACES = {ExifTags.GPS.GPSLatitude, ExifTags.GPS.GPSLongitude, ExifTags.GPS.GPSDestLatitude,
          ExifTags.GPS.GPSDestLongitude, ExifTags.GPS.GPSAreaInformation}  # fmt: skip


def taken_at(picture: Image.Image) -> datetime | None:
    """When the shutter went, by the camera's clock: with its zone if it wrote one, else without."""
    written = _directory(picture, ExifTags.IFD.Exif)
    for moment, zone in TAKEN:
        text, offset = _words(written.get(moment)), _words(written.get(zone))
        day, _, hour = text.partition(" ")
        for with_zone in (offset, ""):
            try:
                return datetime.fromisoformat(f"{day.replace(':', '-')}T{hour}{with_zone}")
            except ValueError:
                continue
    return None


def has_position(picture: Image.Image) -> bool:
    """Whether Exif or XMP hold a position, or cannot be read. False does not say that no comment tells the place."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # Pillow warns of a torn block and gives what is left of it
            in_exif = bool(PLACES & _exif_anew(picture).get_ifd(ExifTags.IFD.GPSInfo).keys())
    except Exception:  # a torn block raises whatever its bytes lead to; then the careful answer
        return True
    xmp = picture.info.get("xmp") or picture.info.get("XML:com.adobe.xmp") or b""
    xmp = xmp.encode() if isinstance(xmp, str) else xmp
    return in_exif or b"GPSLatitude" in xmp or b"GPSLongitude" in xmp


def _exif_anew(picture: Image.Image) -> Image.Exif:
    """The Exif block read again: Pillow has read it once when it opened the file, and warns only then."""
    if not picture.info.get("exif"):
        return picture.getexif()
    exif = Image.Exif()
    exif.load(picture.info["exif"])
    return exif


def camera(picture: Image.Image) -> str:
    """Maker and model as the camera names itself, or nothing."""
    try:
        written: Any = picture.getexif()
        make, model = _words(written.get(ExifTags.Base.Make)), _words(written.get(ExifTags.Base.Model))
    except Exception:  # as above
        return ""
    return (model if model.lower().startswith(make.lower()) else f"{make} {model}").strip()[:80]


def _directory(picture: Image.Image, which: int) -> dict[int, Any]:
    try:
        return dict(picture.getexif().get_ifd(which))
    except Exception:  # as above
        return {}


def _words(value: object) -> str:
    text = value.decode("ascii", "replace") if isinstance(value, bytes) else value if isinstance(value, str) else ""
    return "".join(sign for sign in text if sign.isprintable()).strip()
