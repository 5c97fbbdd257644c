"""Files are told by what is in them. Made with independent writers (Pillow, XlsxWriter, pikepdf) where there is one."""

import io
import mimetypes
import struct
import zipfile

import pikepdf
import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from catalog.media.kinds import FIRST_BYTES, KINDS, XLSX, kind_of
from catalog.media.refused import NotTaken, TooLarge, quoted


def picture(form: str) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "tan").save(out, form)
    return out.getvalue()


def archive(**entries: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        for name, inside in entries.items():
            packed.writestr(name.replace("__", "/").replace("_dot_", "."), inside)
    return out.getvalue()


def spreadsheet() -> bytes:
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out)
    book.add_worksheet("Pieces").write_row(0, 0, ["Piece", "Mass (g)"])
    book.close()
    return out.getvalue()


def paper() -> bytes:
    out = io.BytesIO()
    pdf = pikepdf.new()
    pdf.add_blank_page()
    pdf.save(out)
    return out.getvalue()


def stl(head: bytes = b"scan of 2016.1", triangles: int = 3) -> bytes:
    facet = struct.pack("<12fH", 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0)
    return head.ljust(80, b" ") + struct.pack("<I", triangles) + facet * triangles


PLY = b"ply\nformat binary_little_endian 1.0\nelement vertex 1\nproperty float x\nend_header\n\x00\x00\x80\x3f"
OBJ = b"# from the scanner\nmtllib cast.mtl\nv 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n"
ASCII_STL = b"solid cast\n facet normal 0 0 1\n  outer loop\n   vertex 0 0 0\n"
GLB = b"glTF" + struct.pack("<III", 2, 20, 0) + b"JSON"
TABLE = "Piece;Mass\n2016.1.1;12,5\n2016.1.2;½\n"

KEPT = [
    ("JPEG", picture("JPEG"), "nest.jpg"),
    ("PNG", picture("PNG"), "nest.png"),
    ("WebP", picture("WEBP"), "nest.webp"),
    ("TIFF", picture("TIFF"), "nest.tif"),
    ("AVIF", picture("AVIF"), "nest.avif"),
    ("PDF", paper(), "permit.pdf"),
    ("XLSX", spreadsheet(), "pieces.xlsx"),
    ("STL", stl(), "cast.stl"),
    ("STL", stl(b"solid says the binary one too"), "cast.stl"),
    ("STL", ASCII_STL, "cast.stl"),
    ("PLY", PLY, "cast.ply"),
    ("OBJ", OBJ, "cast.obj"),
    ("glTF binary", GLB, "cast.glb"),
    ("CSV", TABLE.encode(), "pieces.csv"),
    ("CSV", b"\xef\xbb\xbf" + TABLE.encode(), "pieces.csv"),
    ("CSV", TABLE.encode("utf-16"), "pieces.csv"),
    ("CSV", TABLE.encode("cp1252"), "pieces.csv"),
]


@pytest.mark.parametrize(("name", "file", "called"), KEPT)
def test_what_is_kept_is_told_by_its_content(name: str, file: bytes, called: str) -> None:
    assert kind_of(file[:FIRST_BYTES], called, len(file)).name == name
    if name not in ("CSV", "OBJ"):  # these two are plain text: the name settles what they are
        assert kind_of(file[:FIRST_BYTES], "IMG_0001", len(file)).name == name


def test_a_phones_heic_is_a_picture(samples) -> None:
    kind = kind_of((samples / "phone.heic").read_bytes(), "IMG_0001.HEIC")
    assert (kind.name, kind.is_picture) == ("HEIC", True)


def test_media_types_are_those_of_the_register() -> None:
    """Reference: Python's mimetypes table and, for what it lacks, IANA's register (HEIC and AVIF, models), from memory."""
    known = mimetypes.MimeTypes(filenames=())
    iana = {
        ".webp": "image/webp",
        ".heic": "image/heic",
        ".avif": "image/avif",
        ".stl": "model/stl",
        ".obj": "model/obj",
        ".glb": "model/gltf-binary",
        ".ply": "application/octet-stream",
        ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    }
    for kind in KINDS:
        assert kind.content_type == (iana.get(kind.ending) or known.guess_type("x" + kind.ending)[0]), kind.name


REFUSED = [
    ("SVG", b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>', "nest.svg"),
    ("SVG", b'<?xml version="1.0"?>\n<!-- x -->\n<svg:svg xmlns:svg="http://www.w3.org/2000/svg"/>', "nest.png"),
    ("SVG", '<svg onload="alert(1)"/>'.encode("utf-16"), "nest.png"),
    ("HTML", b"<!DOCTYPE html><html><svg></svg></html>", "nest.jpg"),
    ("HTML", b"  <!-- --><script>alert(1)</script>", "pieces.csv"),
    ("XML", b'<?xml version="1.0"?><gpx/>', "walk.gpx"),
    ("EPS", b"%!PS-Adobe-3.0 EPSF-3.0\n", "nest.eps"),
    ("EPS", b"\xc5\xd0\xd3\xc6" + bytes(40), "nest.eps"),
    ("ZIP", archive(a=b"1"), "photographs.zip"),
    ("ZIP", archive(a=b"1"), "pieces.xlsx"),
    ("Word", archive(**{"[Content_Types]_dot_xml": b"", "word__document_dot_xml": b""}), "letter.docx"),
    ("OpenDocument", archive(mimetype=b"application/vnd.oasis.opendocument.spreadsheet"), "pieces.ods"),
    ("program", archive(**{"META-INF__MANIFEST_dot_MF": b"Main-Class: x"}), "pieces.xlsx"),
    ("macros", spreadsheet(), "pieces.xlsm"),
    ("program", b"MZ\x90\x00\x03" + bytes(60), "nest.jpg"),
    ("program", b"\x7fELF\x02\x01\x01" + bytes(60), "nest.jpg"),
    ("script", b"#!/bin/sh\nrm -rf x\n", "nest.jpg"),
    ("script", b"<?php system($_GET[0]); ?>", "nest.jpg"),
    ("plain text", b"The nest lies by the gate.\n", "note.txt"),
    ("JSON", b'{"a": 1}', "cast.json"),
    ("GIF", picture("GIF"), "nest.gif"),
    ("BMP", picture("BMP"), "nest.bmp"),
    ("film", b"\x00\x00\x00\x18ftypqt  \x00\x00\x00\x00qt  " + bytes(40), "dig.mov"),
    ("raw file", b"\x00\x00\x00\x18ftypcrx \x00\x00\x00\x00crx " + bytes(40), "nest.cr3"),
    ("raw file", b"II*\0\x10\0\0\0CR\x02\0" + bytes(40), "nest.jpg"),
    ("raw file", picture("TIFF"), "nest.nef"),
    ("older Office", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "pieces.xls"),
    ("empty", b"", "nest.jpg"),
    ("none of the kinds", bytes(range(256)), "nest.jpg"),
]


@pytest.mark.parametrize(("seems", "file", "called"), REFUSED)
def test_what_is_not_kept_is_named(seems: str, file: bytes, called: str) -> None:
    with pytest.raises(NotTaken) as refusal:
        kind_of(file[:FIRST_BYTES], called, len(file))
    sentence = str(refusal.value)
    assert seems in sentence
    assert sentence.startswith(f"“{called}” cannot be kept: it seems to be ")
    assert sentence.count(". ") >= 1  # and what to do


def test_a_dng_is_told_from_a_tiff_by_its_own_tag() -> None:
    """DNG 1.7, DNGVersion: tag 50706 in the first directory."""
    out = io.BytesIO()
    Image.new("L", (9, 9)).save(out, "TIFF", tiffinfo={50706: b"\x01\x04\x00\x00"})
    with pytest.raises(NotTaken, match="raw file"):
        kind_of(out.getvalue(), "nest.tif")


def test_a_picture_with_a_script_behind_it_is_kept_as_a_picture_only() -> None:
    file = picture("JPEG") + b"<script>alert(1)</script>" + archive(a=b"1")
    assert kind_of(file, "nest.html").content_type == "image/jpeg"


def test_a_spreadsheet_is_known_though_its_sheets_come_late() -> None:
    late = archive(**{"[Content_Types]_dot_xml": bytes(70_000), "xl__workbook_dot_xml": b"<workbook/>"})
    assert kind_of(late[:FIRST_BYTES], "pieces.xlsx") is XLSX


def test_a_photograph_above_its_limit_hears_of_scans() -> None:
    with pytest.raises(TooLarge, match=r"up to 60 MB.*scan.*up to 2 GB"):
        kind_of(picture("JPEG"), "nest.jpg", 60_000_001)
    assert kind_of(picture("JPEG"), "nest.jpg", 60_000_000).name == "JPEG"


def test_names_are_shown_escaped_and_cut() -> None:
    assert quoted("nest\u202egpj.exe") == "“nest\\u202Egpj.exe”"
    assert quoted("a\0b\r\n.jpg") == "“a\\u0000b\\u000D\\u000A.jpg”"
    cut = quoted("n" * 300 + ".jpg")
    assert len(cut) < 90
    assert cut.endswith("nn.jpg”")
    assert quoted("  ") == "The file"


SIGNS = [
    b"",
    b"\xff\xd8\xff",
    b"II*\0",
    b"PK\x03\x04",
    b"\x00\x00\x00\x20ftyp",
    b"<",
    b"ply\n",
    b"\xff\xfe",
    b"v 1 2 3\n",
]


@given(st.sampled_from(SIGNS), st.binary(max_size=300), st.text(max_size=40), st.none() | st.integers(0, 10**10))
def test_any_bytes_are_a_kind_or_a_sentence(sign: bytes, rest: bytes, name: str, size: int | None) -> None:
    try:
        outcome = kind_of(sign + rest, name, size).name
    except NotTaken as refusal:
        outcome = str(refusal)
    assert outcome in [kind.name for kind in KINDS] or outcome[-1] in ".)"
