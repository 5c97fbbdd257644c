"""What a file is, told by what is in it. Its name decides only where the content cannot (OBJ, CSV, camera raw).

`kind_of(first_bytes, name, size)` gives a `Kind` or raises `NotTaken`, whose text is the sentence for the person.
Signatures: the format's own specification, named beside each; media types: IANA's register.
"""

from __future__ import annotations

import math
import struct
from dataclasses import dataclass

from catalog.media import refused
from catalog.media.refused import MB, NotTaken, Seems, TooLarge

FIRST_BYTES = 65_536  # what a caller reads from the beginning and hands in


@dataclass(frozen=True)
class Kind:
    """A kind of file that is kept. `ending` has its dot; `most_bytes` is the largest file of it that is taken."""

    name: str
    content_type: str
    ending: str
    is_picture: bool
    most_bytes: int


JPEG = Kind("JPEG", "image/jpeg", ".jpg", True, 60 * MB)
PNG = Kind("PNG", "image/png", ".png", True, 60 * MB)
WEBP = Kind("WebP", "image/webp", ".webp", True, 60 * MB)
TIFF = Kind("TIFF", "image/tiff", ".tif", True, 60 * MB)
HEIC = Kind("HEIC", "image/heic", ".heic", True, 60 * MB)
AVIF = Kind("AVIF", "image/avif", ".avif", True, 60 * MB)
PDF = Kind("PDF", "application/pdf", ".pdf", False, 50 * MB)
STL = Kind("STL", "model/stl", ".stl", False, 2_000 * MB)
PLY = Kind("PLY", "application/octet-stream", ".ply", False, 2_000 * MB)  # IANA lists no type for it
OBJ = Kind("OBJ", "model/obj", ".obj", False, 2_000 * MB)
GLB = Kind("glTF binary", "model/gltf-binary", ".glb", False, 2_000 * MB)
CSV = Kind("CSV", "text/csv", ".csv", False, 50 * MB)
XLSX = Kind("XLSX", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", ".xlsx", False, 50 * MB)
KINDS = (JPEG, PNG, WEBP, TIFF, HEIC, AVIF, PDF, STL, PLY, OBJ, GLB, CSV, XLSX)


def kind_of(first_bytes: bytes, name: str, size: int | None = None) -> Kind:
    """The kind of a file from its first `FIRST_BYTES`; `size` in bytes, where known, settles binary STL.

    Raises `NotTaken` with a sentence that names what the file seems to be.
    """
    if not first_bytes:
        raise NotTaken(refused.sentence_for(name, refused.EMPTY))
    found = _by_signature(first_bytes, name) or _by_text(first_bytes, name) or _by_shape(first_bytes, name, size)
    if isinstance(found, Kind):
        if size is not None and size > found.most_bytes:
            raise TooLarge(too_large(name, found))
        return found
    raise NotTaken(refused.sentence_for(name, found or refused.seems_to_be(first_bytes)))


def too_large(name: str, kind: Kind) -> str:
    """The sentence for a file above its kind's limit."""
    most = refused.size_said(kind.most_bytes)
    scan = refused.size_said(STL.most_bytes)
    way = f" A scan in STL, PLY, OBJ or glTF binary may have up to {scan}." if kind.is_picture else ""
    return f"{refused.quoted(name)} cannot be kept: a {kind.name} file may have up to {most}. Send a smaller copy.{way}"


def _by_signature(first: bytes, name: str) -> Kind | Seems | None:
    if first.startswith(b"\xff\xd8\xff"):  # ITU T.81 B.1: SOI, then a marker
        return JPEG
    if first.startswith(b"\x89PNG\r\n\x1a\n"):  # W3C PNG 5.2
        return PNG
    if first[:4] == b"RIFF" and first[8:12] == b"WEBP":  # RFC 9649
        return WEBP
    if first[:4] in (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+"):  # TIFF 6.0 section 2, and BigTIFF
        return refused.raw_by(first, name) or TIFF
    if first[4:8] == b"ftyp":  # ISO/IEC 14496-12 4.3
        return _by_brand(first)
    if first.startswith(b"%PDF-"):  # ISO 32000-1 7.5.2
        return PDF
    if first[:8] == b"glTF" + struct.pack("<I", 2):  # glTF 2.0, 4.4.2
        return GLB
    if first.startswith((b"ply\n", b"ply\r\n")) and b"\nformat " in first[:1000]:  # Turk, The PLY polygon file format
        return PLY
    if first.startswith(b"PK\x03\x04"):  # PKWARE APPNOTE 4.3.7
        return _by_entries(first, name)
    return None


def _by_brand(first: bytes) -> Kind | Seems:
    end = min(int.from_bytes(first[:4], "big"), len(first))
    brands = {first[8:12]} | {first[at : at + 4] for at in range(16, end - 3, 4)}
    if brands & {b"avif", b"avis"}:  # AVIF 1.1, section 6
        return AVIF
    if brands & {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx"}:  # ISO/IEC 23008-12 B.4
        return HEIC
    return refused.RAW if b"crx " in brands else refused.FILM


def _by_entries(first: bytes, name: str) -> Kind | Seems:
    entries = refused.entries_seen(first)
    package = any(entry == "[Content_Types].xml" or entry.startswith("_rels/") for entry in entries)  # ECMA-376 part 2
    sheets = any(entry.startswith("xl/") for entry in entries)
    seems = refused.archive_by(first, name, entries)
    if seems is None and package and (sheets or name.lower().endswith(".xlsx")):
        return XLSX
    return seems or refused.ZIP


def _by_text(first: bytes, name: str) -> Kind | Seems | None:
    text = refused.text_of(first)
    if text is None:
        return None
    seems = refused.markup_or_script(text)
    if seems:
        return seems
    if text.lstrip().startswith("solid") and "facet" in text:  # StL, ASCII form
        return STL
    if name.lower().endswith(".obj") and _reads_as_obj(text):
        return OBJ
    return CSV if name.lower().endswith(".csv") else None


OBJ_WORDS = {"v", "vt", "vn", "vp", "f", "l", "p", "o", "g", "s", "mtllib", "usemtl"}


def _reads_as_obj(text: str) -> bool:
    lines = text.splitlines()[:-1] or text.splitlines()  # the last line may be cut
    words = [line.split()[0] for line in lines if line.split() and not line.lstrip().startswith("#")]
    return bool(words) and words[0] in OBJ_WORDS and sum(word in OBJ_WORDS for word in words) > 0.9 * len(words)


def _by_shape(first: bytes, name: str, size: int | None) -> Kind | None:
    """Binary STL has no signature: 80 free bytes, a count, 50 bytes a triangle."""
    if len(first) < 134:
        return None
    triangles, *facet = struct.unpack_from("<I12f", first, 80)
    if not triangles or not all(map(math.isfinite, facet)):
        return None
    fits = name.lower().endswith(".stl") if size is None else size == 84 + 50 * triangles
    return STL if fits else None
