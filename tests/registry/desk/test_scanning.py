"""A code leads the staff to the thing and a stranger to one page, the same for every number; a photograph of a code is read."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import pytest
import segno
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, PngImagePlugin

from catalog.ground.models import Collection
from tests import builders
from tests.registry.desk.makers_desk import described, place, published

pytestmark = pytest.mark.django_db


@pytest.fixture
def saar(client: Any) -> Any:
    return builders.signed_in(client, "Saar Osei")


@pytest.fixture(autouse=True)
def _incoming(tmp_path: Path, settings: Any) -> None:
    settings.FILE_UPLOAD_TEMP_DIR = tmp_path


# where a code leads


@pytest.mark.parametrize("address", ["/q/2016.1/", "/Q/2016.1", "/q/2016.1", "/Q/TH%202016.1/", "/q/th%202016%201"])
def test_a_code_leads_to_the_cast(saar: Any, address: str) -> None:
    described("2016.1")
    answer = saar.get(address)
    assert (answer.status_code, answer["Location"]) == (303, "/casts/2016.1/")


def test_a_code_leads_to_the_piece(saar: Any) -> None:
    builders.piece(described("2016.1"), "3")
    assert saar.get("/Q/2016.1.3")["Location"] == "/casts/2016.1/3/"


def test_a_code_leads_to_whatever_bears_it(saar: Any) -> None:
    from tests.catalog.excavations import makers_digs

    place("B-3", "Shelf three")
    dug, zinc, (bag, _) = makers_digs.dig(), makers_digs.lot(), makers_digs.bags()
    for bearer in (dug, zinc, bag):
        number = getattr(bearer, "number", "") or bearer.code
        answer = saar.get(f"/Q/{number.upper()}")
        assert (answer.status_code, answer["Location"]) == (303, bearer.href)
    assert saar.get("/Q/B-3")["Location"] == "/places/B-3/"


def test_an_object_and_its_entry_go_by_one_number_and_the_code_leads_to_the_object(saar: Any) -> None:
    from tests.registry.accessions.makers_accessions import entry

    made = entry()
    assert saar.get(f"/Q/{made.number}")["Location"] == f"/casts/{made.number}/"
    page = saar.get("/find/", {"q": made.number}).content.decode()
    assert f'href="/casts/{made.number}/"' in page
    assert f'href="/entries/{made.number}/"' in page


def test_a_code_never_writes(saar: Any) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    described("2016.1")
    saar.get("/today/")
    with CaptureQueriesContext(connection) as captured:
        saar.get("/Q/2016.1")
    assert not [q["sql"] for q in captured if not q["sql"].startswith("SELECT")]


@pytest.mark.parametrize("text", ["Z-99", "http:%2F%2Felsewhere.example%2Fa", "%F0%9F%90%9E", "9/8/7"])
def test_a_code_that_is_not_ours_is_shown_as_text(saar: Any, text: str) -> None:
    answer = saar.get(f"/q/{text}/")
    page = answer.content.decode()
    assert answer.status_code == 404
    assert "This code is not one of ours" in page
    assert 'href="http:' not in page


def test_what_was_opened_last_stands_on_the_scan_page_of_who_opened_it(saar: Any, client: Any) -> None:
    described("2016.1")
    saar.get("/Q/2016.1")
    assert "/q/2016.1/" in saar.get("/scan/").content.decode()
    builders.signed_in(client, "Lenno Haak")
    assert "/q/2016.1/" not in client.get("/scan/").content.decode()


# strangers


def bytes_of(client: Any, address: str) -> tuple[int, bytes, dict[str, str]]:
    answer = client.get(address)
    return answer.status_code, answer.content, dict(answer.headers)


def test_a_stranger_reads_the_same_bytes_for_every_number(client: Any) -> None:
    builders.piece(described("2016.1", formers=("Nest 7",)), "3")
    published(described("2011.3"))
    asked = ["/Q/2016.1", "/Q/2016.1.3", "/Q/1999.1", "/q/Nest%207/", "/q/K-12/", "/Q/E-2026-14", "/q/x/", "/q/2011.4/"]
    first = bytes_of(client, asked[0])
    assert first[0] == 200
    assert [bytes_of(client, address) for address in asked] == [first] * len(asked)
    page = first[1].decode()
    assert "This belongs to Tarn Holm dune and marsh station" in page
    assert "Imke Roodenburg, Tarn Holm station" in page
    assert "2016" not in page


def test_the_staff_comes_back_to_the_code_after_signing_in(client: Any) -> None:
    described("2016.1")
    assert 'href="?sign-in"' in client.get("/Q/2016.1").content.decode()
    answer = client.get("/Q/2016.1?sign-in")
    assert (answer.status_code, answer["Location"]) == (302, "/sign-in/?next=%2FQ%2F2016.1")


def test_a_stranger_reads_of_a_published_cast_by_its_code_and_by_any_of_its_pieces(client: Any) -> None:
    builders.piece(published(described("2011.3")), "3")
    for address in ("/Q/2011.3", "/q/th%202011%203/", "/Q/2011.3.3", "/Q/2011.3.99", "/Q/2011.3.3.1"):
        answer = client.get(address)
        assert (answer.status_code, answer["Location"]) == (303, "/casts/2011.3/"), address
    assert client.get("/Q/2011.33").status_code == 200


def test_a_house_that_has_not_said_how_to_reach_it_is_not_silent(client: Any) -> None:
    builders.actor()
    with builders.by_hand():
        from catalog.ground.acting import store

        ours = Collection.objects.get()
        ours.reach_us = ""
        store(ours)
    assert "bring it to Tarn Holm" in client.get("/Q/2016.1").content.decode()


# photographs


def photograph_of(text: str, *, size: int = 3000) -> SimpleUploadedFile:
    """A code lying askew on a large grey table, as a phone takes it."""
    code = io.BytesIO()
    segno.make(text, error="m", micro=False).save(code, kind="png", scale=14, border=4)
    picture = Image.new("RGB", (size, size * 3 // 4), (139, 143, 140))
    picture.paste(Image.open(code).convert("RGB").rotate(7, expand=True, fillcolor=(139, 143, 140)), (900, 700))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=80)
    return SimpleUploadedFile("IMG_1.jpg", out.getvalue(), "image/jpeg")


def test_the_code_on_a_photograph_is_read(saar: Any, tmp_path: Path) -> None:
    answer = saar.post("/scan/read/", {"photograph": photograph_of("HTTPS://CASTS.EXAMPLE/Q/2016.1.3")})
    assert answer.json() == {"text": "HTTPS://CASTS.EXAMPLE/Q/2016.1.3", "says": ""}
    assert list(tmp_path.iterdir()) == []


def test_a_photograph_without_a_code_says_so(saar: Any) -> None:
    out = io.BytesIO()
    Image.new("RGB", (600, 400), (90, 80, 70)).save(out, "JPEG")
    answer = saar.post("/scan/read/", {"photograph": SimpleUploadedFile("a.jpg", out.getvalue())})
    assert (answer.status_code, answer.json()["text"]) == (200, "")


def bomb() -> bytes:
    """A PNG that says it is 30 000 pixels on a side."""
    import struct
    import zlib

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")
    )


def wordy() -> bytes:
    out, notes = io.BytesIO(), PngImagePlugin.PngInfo()
    notes.add_text("note", "x" * 2_000_000, zip=True)
    Image.new("L", (40, 40)).save(out, "PNG", pnginfo=notes)
    return out.getvalue()


@pytest.mark.parametrize(
    "name, body",
    [
        ("a.svg", b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>"),
        ("a.jpg", b"\xff\xd8\xff" + b"broken" * 50),
        ("a.png", bomb()),
        ("b.png", wordy()),
        ("a.pdf", b"%PDF-1.7\n"),
        ("empty.jpg", b""),
    ],
)
def test_what_is_no_photograph_is_refused_in_a_sentence(saar: Any, tmp_path: Path, name: str, body: bytes) -> None:
    answer = saar.post("/scan/read/", {"photograph": SimpleUploadedFile(name, body)})
    assert answer.status_code == 422
    assert answer.json()["text"] == ""
    assert answer.json()["says"].endswith((".", "”."))
    assert list(tmp_path.iterdir()) == []


def test_a_visitor_sends_no_photographs(client: Any) -> None:
    builders.actor()
    assert client.post("/scan/read/", {"photograph": photograph_of("2016.1", size=1500)}).status_code == 302
    assert "Photograph the code" not in client.get("/scan/").content.decode().split("<template")[0]
