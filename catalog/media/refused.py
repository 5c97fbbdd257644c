"""What is not kept, and the sentence that names what a file seems to be and what to send instead."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

MB = 1_000_000


class NotTaken(Exception):
    """A file that is not kept; the text is the sentence for the person who sent it."""


class TooLarge(NotTaken):
    """A file above the limit of its kind."""


@dataclass(frozen=True)
class Seems:
    """What a file seems to be, with its article, and what to do."""

    what: str
    advice: str


AS_PICTURE = "Save it as JPEG, PNG, TIFF or PDF and send that."
AS_PDF = "Save it as PDF and send that."
AS_TABLE = "Save it as XLSX or CSV and send that."
ITSELF = "Send the picture, paper, scan or table itself."
UNPACK = "Unpack it and send what is in it, one file at a time."
KEPT = (
    "Kept are pictures (JPEG, PNG, WebP, TIFF, HEIC, AVIF), papers (PDF), scans (STL, PLY, OBJ, glTF binary) "
    "and tables (CSV, XLSX)."
)

EMPTY = Seems("an empty file", "Send it again from where it is kept.")
SVG = Seems("a drawing in SVG, which can carry a script", AS_PICTURE)
HTML = Seems("a web page (HTML)", AS_PDF)
XML = Seems("an XML file", KEPT)
EPS = Seems("a PostScript or EPS file", AS_PICTURE)
RTF = Seems("an RTF text", AS_PDF)
SCRIPT = Seems("a script, which is a program", ITSELF)
PROGRAM = Seems("a program", ITSELF)
JSON = Seems("a JSON file", KEPT)
TEXT = Seems("a plain text", "Save a table as CSV, a text as PDF, and send that.")
FILM = Seems("a film or a sound", f"Send a still picture of it. {KEPT}")
RAW = Seems("a camera's raw file", "Save it as JPEG or TIFF and send that.")
ZIP = Seems("a ZIP archive", UNPACK)
MACROS = Seems("a spreadsheet with macros", AS_TABLE)
OLD_OFFICE = Seems("an older Office file, or a locked one", "Save it unlocked as XLSX, CSV or PDF and send that.")
UNKNOWN = Seems("none of the kinds that are kept", KEPT)

SIGNATURES: tuple[tuple[bytes, Seems], ...] = (
    (b"GIF8", Seems("a GIF picture", AS_PICTURE)),
    (b"8BPS", Seems("a Photoshop file", AS_PICTURE)),
    (b"\x00\x00\x00\x0cJXL ", Seems("a JPEG XL picture", AS_PICTURE)),
    (b"\xff\x0a", Seems("a JPEG XL picture", AS_PICTURE)),
    (b"\x00\x00\x00\x0cjP  ", Seems("a JPEG 2000 picture", AS_PICTURE)),
    (b"\xc5\xd0\xd3\xc6", EPS),
    (b"\x1f\x8b", Seems("a gzip archive", UNPACK)),
    (b"7z\xbc\xaf\x27\x1c", Seems("a 7z archive", UNPACK)),
    (b"Rar!\x1a\x07", Seems("a RAR archive", UNPACK)),
    (b"BZh", Seems("a bzip2 archive", UNPACK)),
    (b"\xfd7zXZ\x00", Seems("an xz archive", UNPACK)),
    (b"PK\x05\x06", Seems("an empty ZIP archive", UNPACK)),
    (b"\x7fELF", PROGRAM),
    (b"MZ", PROGRAM),
    (b"\xfe\xed\xfa", PROGRAM),
    (b"\xce\xfa\xed\xfe", PROGRAM),
    (b"\xcf\xfa\xed\xfe", PROGRAM),
    (b"\xca\xfe\xba\xbe", PROGRAM),
    (b"\x00asm", PROGRAM),
    (b"SQLite format 3\x00", Seems("a database", AS_TABLE)),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", OLD_OFFICE),
    (b"RIFF", FILM),
    (b"OggS", FILM),
    (b"fLaC", FILM),
    (b"ID3", FILM),
    (b"\x1aE\xdf\xa3", FILM),
    (b"FUJIFILMCCD-RAW", RAW),
    (b"BM", Seems("a BMP picture", AS_PICTURE)),
)
RAW_ENDINGS = (".dng", ".nef", ".nrw", ".arw", ".cr2", ".orf", ".rw2", ".pef", ".srw", ".3fr", ".iiq")


def sentence_for(name: str, seems: Seems) -> str:
    """What is so and what to do, in one or two sentences."""
    return f"{quoted(name)} cannot be kept: it seems to be {seems.what}. {seems.advice}"


def quoted(name: str, most: int = 80) -> str:
    """A file's name as it is safe to show: unseen and turning marks written out, long ones cut in the middle."""
    safe = "".join(sign if sign.isprintable() else f"\\u{ord(sign):04X}" for sign in name.strip())
    if not safe:
        return "The file"
    return f"“{safe}”" if len(safe) <= most else f"“{safe[: most - 20]}…{safe[-18:]}”"


def size_said(size_bytes: int) -> str:
    """60 MB, 2 GB: decimal units."""
    return f"{size_bytes // MB} MB" if size_bytes < 1000 * MB else f"{size_bytes / (1000 * MB):g} GB"


def seems_to_be(first: bytes) -> Seems:
    """What a file is that no kept kind has claimed."""
    text = text_of(first)
    if text is not None:
        return JSON if text.lstrip()[:1] in ("{", "[") else TEXT
    if first[257:262] == b"ustar":
        return Seems("a tar archive", UNPACK)
    return next((seems for sign, seems in SIGNATURES if first.startswith(sign)), UNKNOWN)


def text_of(first: bytes) -> str | None:
    """The words in a file if it is text: UTF-8, UTF-16 with its mark, else Windows-1252; None if it is not."""
    if first[:2] in (b"\xff\xfe", b"\xfe\xff"):
        text: str | None = first[: len(first) // 2 * 2].decode("utf-16", "replace").rstrip("\ufffd")
        text = None if "\ufffd" in (text or "") else text
    else:
        text = _as_utf8(first.removeprefix(b"\xef\xbb\xbf")) or _as_cp1252(first)
    return text if text and not re.search(r"[\x00-\x08\x0e-\x1f]", text) else None


def _as_utf8(first: bytes) -> str | None:
    for cut in range(4):  # the last sign may be cut in its middle
        try:
            return first[: len(first) - cut].decode()
        except UnicodeDecodeError:
            continue
    return None


def _as_cp1252(first: bytes) -> str | None:
    try:
        return first.decode("cp1252")
    except UnicodeDecodeError:
        return None


def markup_or_script(text: str) -> Seems | None:
    """SVG, HTML, XML, PostScript, RTF and scripts are texts that a program would run or draw."""
    head = text.lstrip("\ufeff \t\r\n\f").lower()
    if head.startswith("%!"):
        return EPS
    if head.startswith("{\\rtf"):
        return RTF
    if head.startswith("#!"):
        return SCRIPT
    if not head.startswith("<"):
        return None
    if re.match(r"<\?php|<%", head):
        return SCRIPT
    within, at_once = (
        r"<!doctype html|<(?:html|script|iframe)[\s>/]",
        r"<(?:head|body|style|title|table|div|h1|p|a|b|br)[\s>/]",
    )
    if re.search(within, head) and not re.match(r"(<\?xml[^>]*>\s*)?(<!doctype svg[^>]*>\s*)?<svg[\s>]", head):
        return HTML
    if re.search(r"<(?:\w+:)?svg[\s>]", head):
        return SVG
    return HTML if re.match(at_once, head) else XML


def raw_by(first: bytes, name: str) -> Seems | None:
    """Raw files of cameras wear TIFF's signature; DNG has tag 50706 (DNG 1.7, DNGVersion) in its first directory."""
    order: Literal["little", "big"] = "little" if first[:2] == b"II" else "big"

    def number(at: int, length: int) -> int:
        return int.from_bytes(first[at : at + length], order)

    start = number(4, 4)
    tags = {number(start + 2 + 12 * n, 2) for n in range(number(start, 2))} if first[2:4] in (b"*\0", b"\0*") else set()
    is_raw = 50706 in tags or first[8:10] == b"CR" or name.lower().endswith(RAW_ENDINGS)
    return RAW if is_raw else None


def entries_seen(first: bytes) -> list[str]:
    """Names of the entries of a ZIP that lie in its first bytes (APPNOTE 4.3.7: length at 26, name at 30)."""
    starts = [found.start() for found in re.finditer(rb"PK\x03\x04", first)]
    return [
        first[at + 30 : at + 30 + int.from_bytes(first[at + 26 : at + 28], "little")].decode("utf-8", "replace")
        for at in starts
    ]


def archive_by(first: bytes, name: str, entries: list[str]) -> Seems | None:
    """What a ZIP is besides a plain archive or a spreadsheet, as far as its first entries tell."""
    if any(entry.endswith("vbaProject.bin") for entry in entries) or name.lower().endswith((".xlsm", ".xlsb", ".xltm")):
        return MACROS
    if any(entry.startswith("word/") for entry in entries):
        return Seems("a Word document", AS_PDF)
    if any(entry.startswith("ppt/") for entry in entries):
        return Seems("a slide show", AS_PDF)
    if b"application/vnd.oasis.opendocument.spreadsheet" in first[:120]:
        return Seems("an OpenDocument spreadsheet", AS_TABLE)
    if b"application/vnd.oasis.opendocument" in first[:120]:
        return Seems("an OpenDocument file", AS_PDF)
    if any(entry in ("META-INF/MANIFEST.MF", "AndroidManifest.xml", "classes.dex") for entry in entries):
        return PROGRAM
    return None
