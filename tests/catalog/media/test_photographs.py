"""Photographs: kept byte for byte, shown without position, handed out only to who may have them, never run."""

from __future__ import annotations

import hashlib
import io
import re
import struct
import zlib
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from PIL import Image

from catalog.casts.models import Cast
from catalog.ground.asks import history_of, todays_work
from catalog.ground.refusal import Hindered, NotAllowed, Refusal
from catalog.media import actions, reads
from catalog.media.files import vault
from catalog.media.models import Document, FileCheck, Photograph
from tests import builders
from tests.catalog.media.makers_media import CANARY, jpeg, photograph, upload

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("data_folder")]
KEY = "one-press-is-one-act-0001"


def kept_files() -> list[Path]:
    return [p for p in (vault().root / "files").rglob("*") if p.is_file()]


def waiting() -> list[str]:
    return [p.name for p in vault().incoming.glob("[!.]*")]


def sent(client: Client, cast: Cast, *files: Any, **more: Any) -> Any:
    return client.post(f"{cast.href}photographs/new/", {"photograph": list(files), "key": KEY} | more)


def body_of(answer: Any) -> bytes:
    return b"".join(answer.streaming_content) if answer.streaming else answer.content


def plain(answer: Any) -> str:
    """A page without what differs each time: the code of the request, the address asked for."""
    return re.sub(r"[0-9A-F]{8}|[0-9a-f-]{36}", "", body_of(answer).decode())


# the way in


def test_a_photograph_is_kept_byte_for_byte_and_shown_on_its_cast(client: Client) -> None:
    cast, inside = builders.cast(), jpeg()
    builders.signed_in(client, "Saar Osei")
    answer = sent(client, cast, upload(inside), view="north", has_scale="yes")
    assert (answer.status_code, answer["Location"]) == (302, f"{cast.href}photographs/")
    one = Photograph.objects.get()
    assert (one.sha256, one.size, one.file_kind) == (hashlib.sha256(inside).hexdigest(), len(inside), "JPEG")
    assert (one.view, one.has_scale, one.width_px, one.by.name) == ("north", True, 400, "Saar Osei")
    with vault().open(one.sha256) as original:
        assert original.read() == inside
    page = client.get(cast.href).content.decode()
    assert f"/photographs/{one.uid}/view.jpg" in page
    assert f"/photographs/{one.uid}/thumb.jpg" in client.get("/casts/").content.decode()
    assert client.get(f"{cast.href}photographs/").status_code == 200
    assert one.sha256 in client.get(f"/photographs/{one.uid}/").content.decode()
    assert waiting() == []


def test_a_picture_without_a_cast_is_refused() -> None:
    with pytest.raises(Refusal, match="Say of which cast"):
        actions.keep_photograph(builders.saar(), upload())
    assert kept_files() == []


def test_a_reader_adds_nothing(client: Client) -> None:
    cast = builders.cast()
    builders.signed_in(client, "Lenno Haak")
    assert sent(client, cast, upload()).status_code == 403
    assert "Add photographs" not in client.get(f"{cast.href}photographs/").content.decode()
    with pytest.raises(NotAllowed):
        photograph(builders.lenno(), cast=cast)


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


def bomb() -> bytes:
    """30 001 by 30 000 pixels of nothing in a few bytes (PNG, W3C, 11.2.2: the head says so before any pixel)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 29_999, 29_999, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    "inside, name, sentence",
    [
        (SVG, "nest.jpg", "a drawing in SVG, which can carry a script"),
        (b"%PDF-1.7\n", "nest.jpg", "is a PDF file"),
        (bomb(), "nest.png", "million pixels"),
        (jpeg()[:200], "nest.jpg", "broken or cut off"),
        (b"", "nest.jpg", "is empty"),
    ],
)
def test_what_is_no_photograph_is_named_and_leaves_nothing(
    client: Client, inside: bytes, name: str, sentence: str
) -> None:
    cast = builders.cast()
    builders.signed_in(client, "Saar Osei")
    answer = sent(client, cast, upload(inside, name), caption="“O'Neill” 🐚")
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert "O&#x27;Neill" in answer.content.decode()
    assert (Photograph.objects.count(), kept_files(), waiting()) == (0, [], [])


@pytest.mark.slow
def test_200_megabytes_are_refused_with_the_limit_and_leave_nothing(client: Client, tmp_path: Path) -> None:
    cast, large = builders.cast(), tmp_path / "large.jpg"
    large.write_bytes(jpeg())
    with large.open("r+b") as file:
        file.truncate(200_000_000)
    builders.signed_in(client, "Saar Osei")
    for address, name, status in (
        (f"{cast.href}photographs/new/", "photograph", 422),
        ("/api/v1/photographs/", "photograph", 413),
    ):
        with large.open("rb") as file:
            answer = client.post(
                address, {name: file} | ({"of": cast.number} if status == 413 else {}), headers={"Idempotency-Key": KEY}
            )
        assert answer.status_code == status, answer.content[:300]
        assert "60 MB" in answer.content.decode()
    assert (Photograph.objects.count(), kept_files(), waiting()) == (0, [], [])


def test_a_retried_photograph_with_a_new_boundary_is_the_same(client: Client) -> None:
    """The same multipart twice, its parts divided by another line each time: one photograph, the same answer."""
    cast, inside = builders.cast(), jpeg()
    builders.signed_in(client, "Saar Osei")

    def send(boundary: str) -> Any:
        parts = [
            f'--{boundary}\r\nContent-Disposition: form-data; name="of"\r\n\r\n{cast.number}\r\n'.encode(),
            f'--{boundary}\r\nContent-Disposition: form-data; name="photograph"; filename="a.jpg"\r\n'
            f"Content-Type: image/jpeg\r\n\r\n".encode()
            + inside
            + b"\r\n",
            f"--{boundary}--\r\n".encode(),
        ]
        kind = f"multipart/form-data; boundary={boundary}"
        return client.post("/api/v1/photographs/", b"".join(parts), kind, headers={"Idempotency-Key": KEY})

    first, again = send("first-boundary"), send("another-boundary")
    assert (first.status_code, again.status_code) == (201, 201), first.content
    assert again["Kept-Answer"] == "true"
    assert first.json()["uid"] == again.json()["uid"]
    assert Photograph.objects.count() == 1
    other = client.post(
        "/api/v1/photographs/",
        {"of": cast.number, "photograph": upload(jpeg(colour=(1, 2, 3)))},
        headers={"Idempotency-Key": KEY},
    )
    assert other.status_code == 422


def test_a_doubled_press_is_one_photograph(client: Client) -> None:
    cast = builders.cast()
    builders.signed_in(client, "Saar Osei")
    assert [sent(client, cast, upload()).status_code for _ in range(2)] == [302, 302]
    assert Photograph.objects.count() == 1


def test_one_wrong_file_among_three_writes_none(client: Client) -> None:
    cast = builders.cast()
    builders.signed_in(client, "Saar Osei")
    answer = sent(client, cast, upload(), upload(SVG, "nest.jpg"), upload())
    assert answer.status_code == 422
    assert Photograph.objects.count() == 0


def test_the_same_bytes_twice_are_two_photographs_and_one_file() -> None:
    cast = builders.cast()
    photograph(cast=cast)
    photograph(cast=cast, view="break")
    assert (Photograph.objects.count(), len(kept_files())) == (2, 1)


def test_a_photograph_of_a_phone_in_heic_is_taken(client: Client) -> None:
    inside = (Path(__file__).parent / "samples" / "phone.heic").read_bytes()
    builders.signed_in(client, "Saar Osei")
    assert sent(client, builders.cast(), upload(inside, "IMG_7.HEIC", "image/heic")).status_code == 302
    one = Photograph.objects.get()
    assert one.file_kind == "HEIC"
    assert client.get(f"/photographs/{one.uid}/view.jpg")["Content-Type"] == "image/jpeg"


# what goes out


def test_no_position_in_any_derivative(client: Client) -> None:
    """What is shown carries no Exif, no XMP, no IPTC, no comment, no thumbnail: pixels only."""
    one = photograph(inside=jpeg(with_position=True, size=(2000, 1500)))
    assert one.has_position
    builders.signed_in(client, "Lenno Haak")
    for size, longest in (("thumb", 320), ("view", 1600)):
        shown = body_of(client.get(f"/photographs/{one.uid}/{size}.jpg"))
        for sign in (b"Exif", b"http://ns.adobe.com", b"Photoshop", CANARY, b"nest at"):
            assert sign not in shown
        with Image.open(io.BytesIO(shown)) as picture:
            assert max(picture.size) == longest
            assert not picture.getexif()
            assert "comment" not in picture.info
    page = client.get(f"/photographs/{one.uid}/").content.decode()
    listed = client.get("/api/v1/photographs/").content.decode()
    assert CANARY.decode() not in page + listed


def test_an_original_with_its_position_is_for_who_may_know_the_place(client: Client) -> None:
    secret = photograph(cast=builders.cast(excavation=builders.excavation()), inside=jpeg(with_position=True))
    plain = photograph(cast=secret.cast)
    address = f"/photographs/{secret.uid}/original"
    builders.signed_in(client, "Saar Osei")
    refused = client.get(address)
    assert refused.status_code == 403
    assert "that place is kept back" in refused.content.decode()
    assert "Download original" not in client.get(f"/photographs/{secret.uid}/").content.decode()
    assert client.get(f"/photographs/{plain.uid}/original").status_code == 200
    builders.signed_in(client, "Imke Roodenburg")
    assert CANARY in body_of(client.get(address))


def test_an_open_place_hides_no_original(client: Client) -> None:
    site = builders.site("Station yard", category="none")
    one = photograph(cast=builders.cast(excavation=builders.excavation(site=site)), inside=jpeg(with_position=True))
    builders.signed_in(client, "Lenno Haak")
    assert client.get(f"/photographs/{one.uid}/original").status_code == 200


def test_users_files_are_never_run(client: Client) -> None:
    """A picture that is a web page too goes out as an attachment that no browser sniffs, draws or runs; its name is ours."""
    both = jpeg() + b"<script>alert(1)</script><!--\r\nPK\x03\x04"
    one = actions.keep_photograph(builders.saar(), upload(both, "../../“evil”\r\n.html"), cast=builders.cast())
    builders.signed_in(client, "Imke Roodenburg")
    answer = client.get(f"/photographs/{one.uid}/original")
    assert body_of(answer) == both
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["Content-Disposition"].startswith(f'attachment; filename="2016.1-photograph-{one.sha256[:8]}.jpg"')
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert answer["Cross-Origin-Resource-Policy"] == "same-origin"
    shown = body_of(client.get(f"/photographs/{one.uid}/view.jpg"))
    assert b"<script" not in shown
    assert b"evil" not in shown
    paper = actions.keep_document(
        builders.saar(),
        kind="letter",
        what="A letter",
        upload=upload(b"%PDF-1.7\n/JS (app.alert(1))", "a.pdf"),
        cast=one.cast,
    )
    saved = client.get(f"/documents/{paper.uid}/file")
    assert saved["Content-Disposition"].startswith("attachment")
    assert saved["Content-Security-Policy"] == "default-src 'none'; sandbox"


def test_a_lost_derivative_is_made_again(client: Client) -> None:
    one = photograph()
    for lost in (vault().root / "derived").rglob("*.jpg"):
        lost.unlink()
    builders.signed_in(client, "Lenno Haak")
    answer = client.get(f"/photographs/{one.uid}/thumb.jpg")
    assert body_of(answer)[:3] == b"\xff\xd8\xff"
    assert answer["Cache-Control"].startswith("private")


def test_who_is_signed_out_sees_no_photograph(client: Client) -> None:
    builders.collection()
    one = photograph()
    unknown = "0197c3a0-5b1e-7c3a-9f00-2d4c6b8a0e11"
    for size in ("thumb.jpg", "view.jpg"):
        mine, none = (client.get(f"/photographs/{uid}/{size}") for uid in (one.uid, unknown))
        assert (mine.status_code, plain(mine)) == (404, plain(none))
    for address in (f"/photographs/{one.uid}/", f"/photographs/{one.uid}/original", f"{one.cast.href}photographs/"):
        assert client.get(address)["Location"].startswith("/sign-in/")
    assert client.get("/api/v1/photographs/").status_code == 401


def test_a_proxy_hands_the_file_over_where_the_settings_name_it(client: Client, settings: Any) -> None:
    settings.ACCEL = "/kept/"
    one = photograph()
    builders.signed_in(client, "Imke Roodenburg")
    answer = client.get(f"/photographs/{one.uid}/original")
    assert answer["X-Accel-Redirect"] == f"/kept/files/{one.sha256[:2]}/{one.sha256}"
    assert answer["Content-Disposition"].startswith("attachment")
    assert answer.content == b""


# files that no longer stand


def harmed(one: Photograph | Document, inside: bytes | None = b"not what it was") -> None:
    path = vault().root / "files" / one.sha256[:2] / one.sha256
    path.chmod(0o640)
    path.unlink() if inside is None else path.write_bytes(inside)


def test_a_damaged_file_is_named_and_served_no_more(client: Client, capsys: pytest.CaptureFixture[str]) -> None:
    one, other = photograph(view="north"), photograph(inside=jpeg(colour=(9, 9, 9)), cast=builders.cast("2016.4"))
    call_command("verify_files")
    assert "All 2 files stand." in capsys.readouterr().out
    assert not todays_work(builders.imke()) or "stand any more" not in str(todays_work(builders.imke()))
    harmed(one)
    harmed(other, None)
    with pytest.raises(SystemExit) as ended:
        call_command("verify_files")
    assert ended.value.code == 1
    said = capsys.readouterr().err
    assert f"files/{one.sha256[:2]}/{one.sha256} (photograph of 2016.1, north) is damaged" in said
    assert f"{other.sha256} (photograph of 2016.4) is missing" in said
    builders.signed_in(client, "Imke Roodenburg")
    for bad in (one, other):
        refused = client.get(f"/photographs/{bad.uid}/original")
        assert refused.status_code == 409
        assert bad.sha256[:12] in refused.content.decode()
    alarms = [d for d in todays_work(builders.imke()) if "does not stand any more" in d.sentence]
    assert len(alarms) == 2
    assert {a.weight for a in alarms} == {"late"}
    assert not [d for d in todays_work(builders.saar()) if "does not stand any more" in d.sentence]


def test_a_file_that_breaks_is_found_when_it_is_asked_for(client: Client) -> None:
    one = photograph()
    harmed(one)
    builders.signed_in(client, "Tobias Wren")
    assert client.get(f"/photographs/{one.uid}/original").status_code == 409
    assert [(c.sha256, c.stands, c.said) for c in FileCheck.objects.all()] == [(one.sha256, False, "damaged")]
    page = client.get(f"/photographs/{one.uid}/").content.decode()
    assert "does not stand any more" in page


def test_each_night_reads_what_was_read_the_longest_ago() -> None:
    cast = builders.cast()
    shots = [photograph(cast=cast, inside=jpeg(colour=(8 * n, 0, 0))) for n in range(31)]
    seen: set[str] = set()
    for _ in range(16):
        night = reads.longest_unchecked()
        assert len(night) == 2  # the thirtieth of 31, rounded up
        assert not seen & set(night) or len(seen | set(night)) == 31
        seen |= set(night)
        actions.check_files(builders.imke(), night)
    assert seen == {p.sha256 for p in shots}


def test_the_sweep_leaves_what_a_row_names() -> None:
    import os
    from datetime import timedelta

    from django.utils import timezone

    one = photograph()
    off = photograph(cast=one.cast, inside=jpeg(colour=(7, 7, 7)))
    actions.withdraw_photograph(builders.saar(), off.pk, "shows another cast")
    long_ago = (timezone.now() - timedelta(days=30)).timestamp()
    for path in kept_files():
        os.utime(path, (long_ago, long_ago))
    assert actions.sweep().set_aside == ()
    later = timezone.now() + timedelta(days=1)
    with builders.by_hand():
        from catalog.ground.acting import store

        off.refresh_from_db()
        off.withdrawn_on = off.withdrawn_on - reads.WITHDRAWN_KEPT
        store(off)
    assert actions.sweep(later).set_aside == (off.sha256,)
    assert vault().verify(one.sha256)


# what is said of a photograph


def test_the_chosen_picture_comes_first(client: Client) -> None:
    cast = builders.cast()
    label, a, b = (photograph(cast=cast, of_label=n == 0, inside=jpeg(colour=(n, 1, 1))) for n in range(3))
    assert list(reads.photographs_of(builders.saar(), cast)) == [a, b, label]
    builders.signed_in(client, "Saar Osei")
    assert client.post(f"/photographs/{b.uid}/first/").status_code == 302
    assert list(reads.photographs_of(builders.saar(), cast)) == [b, a, label]
    assert dict(reads.first_pictures(builders.saar(), [cast])) == {cast.pk: b.uid}
    with pytest.raises(Hindered, match="picture of a label"):
        actions.choose_first(builders.saar(), label.pk)


def test_a_photograph_is_taken_off_with_the_reason_and_put_back(client: Client) -> None:
    cast = builders.cast()
    one = photograph(cast=cast)
    builders.signed_in(client, "Saar Osei")
    empty = client.post(f"/photographs/{one.uid}/withdraw/", {"version": 1, "reason": ""})
    assert empty.status_code == 422
    assert client.post(f"/photographs/{one.uid}/withdraw/", {"version": 1, "reason": "blurred"}).status_code == 302
    assert list(reads.photographs_of(builders.saar(), cast)) == []
    assert "No photograph yet" in client.get(cast.href).content.decode()
    assert "blurred" in client.get(f"{cast.href}photographs/").content.decode()
    assert "blurred" in str(history_of(builders.saar(), cast))
    client.post(f"/photographs/{one.uid}/put-back/")
    assert list(reads.photographs_of(builders.saar(), cast)) == [one]


def test_what_is_said_of_a_photograph_is_changed_by_who_saw_it_last(client: Client) -> None:
    one = photograph()
    builders.signed_in(client, "Saar Osei")
    address = f"/photographs/{one.uid}/change/"
    assert client.post(address, {"version": 1, "view": "break", "shows_place": "no"}).status_code == 302
    assert client.post(address, {"version": 1, "view": "north"}).status_code == 412
    one.refresh_from_db()
    assert (one.view, one.version) == ("break", 2)


def test_a_picture_of_an_excavation_shows_the_place_until_somebody_says_no(client: Client) -> None:
    dig = builders.excavation()
    assert photograph(excavation=dig).shows_place
    assert not photograph(excavation=dig, shows_place=False).shows_place
    assert not photograph(cast=builders.cast()).shows_place
    builders.signed_in(client, "Saar Osei")
    answer = client.post(f"/excavations/{dig.number}/photographs/new/", {"photograph": upload(), "view": "the hole"})
    assert answer.status_code == 302
    page = client.get(f"/excavations/{dig.number}/photographs/").content.decode()
    assert "shows the place" in page


def test_pieces_have_photographs_of_their_own() -> None:
    cast = builders.cast()
    part = builders.piece(cast, "3")
    one = photograph(piece=part)
    assert one.cast == cast
    assert list(reads.photographs_of(builders.saar(), part)) == [one]
    assert "of piece 2016.1.3" in str(history_of(builders.saar(), cast))


# papers on record


def test_a_paper_is_a_file_or_the_words_where_it_lies(client: Client) -> None:
    cast = builders.cast()
    builders.signed_in(client, "Saar Osei")
    address = f"{cast.href}documents/new/"
    said = {"kind": "title", "title": "Letter of gift", "key": KEY}
    assert client.post(address, said).status_code == 422
    assert client.post(address, said | {"paper": "folder 3 in the office", "dated": "3 March 2025"}).status_code == 302
    assert client.post(address, {"kind": "minute", "title": "Minute 3", "paper_file": upload()}).status_code == 302
    words, scan = Document.objects.order_by("pk")
    assert (words.where_it_lies, words.dated, words.sha256) == ("folder 3 in the office", "2025-03-03", "")
    assert scan.file_kind == "JPEG"
    page = client.get(cast.href).content.decode()
    assert "Letter of gift" in page
    assert client.get(f"/documents/{words.uid}/").status_code == 200
    assert client.get(f"/documents/{words.uid}/file").status_code == 404
    assert client.get(f"/documents/{scan.uid}/view.jpg")["Content-Type"] == "image/jpeg"


@pytest.mark.parametrize(
    "wrong, sentence",
    [
        ({"dated": "2199"}, "has not come yet"),
        ({"what": " "}, "which paper it is"),
        ({"kind": "napkin"}, "A paper is one of"),
        ({"where_it_lies": ""}, "where the original lies"),
    ],
)
def test_a_paper_that_says_too_little_is_refused(wrong: dict[str, str], sentence: str) -> None:
    said = {"kind": "letter", "what": "A letter", "where_it_lies": "folder 3"} | wrong
    with pytest.raises(Refusal, match=sentence):
        actions.keep_document(builders.saar(), cast=builders.cast(), **said)
    assert Document.objects.count() == 0


def test_a_permit_says_where_one_digs_and_is_shown_to_who_may_know(client: Client) -> None:
    dig = builders.excavation()
    paper = actions.keep_document(
        builders.saar(), kind="permit", what="Permit NS-25-2", upload=upload(b"%PDF-1.7\n", "p.pdf"), excavation=dig
    )
    with pytest.raises(NotAllowed):
        actions.keep_document(
            builders.saar(), kind="permit", what="Permit", where_it_lies="office", site=builders.site()
        )
    builders.signed_in(client, "Saar Osei")
    assert client.get(f"/documents/{paper.uid}/file").status_code == 403
    assert client.get(f"/documents/{paper.uid}/").status_code == 200
    builders.signed_in(client, "Tobias Wren")
    assert client.get(f"/documents/{paper.uid}/file").status_code == 200


def test_digs_and_permits_have_papers_too(client: Client) -> None:
    from catalog.excavations.actions import add_permit
    from catalog.excavations.asks import excavation_panels

    dig = builders.excavation()
    leave = add_permit(builders.imke(), {"kind": "collecting permit", "number": "NS-25-2"})
    said = {"kind": "permit", "title": "Permit NS-25-2", "paper": "folder 1"}
    builders.signed_in(client, "Saar Osei")
    assert client.post(f"/excavations/{dig.number}/documents/new/", said | {"key": KEY}).status_code == 302
    assert client.post(f"/permits/{leave.pk}/documents/new/", said).status_code == 403
    builders.signed_in(client, "Imke Roodenburg")
    assert client.post(f"/permits/{leave.pk}/documents/new/", said).status_code == 302
    assert [(d.excavation, d.permit) for d in Document.objects.order_by("pk")] == [(dig, None), (None, leave)]
    photograph(excavation=dig)
    shown = {p.question: p.facts for p in excavation_panels(builders.saar(), dig)}
    assert (shown["Photographs"]["n"], len(shown["Papers on record"]["papers"])) == (1, 1)
    (papers,) = excavation_panels(builders.lenno(), leave)
    assert (len(papers.facts["papers"]), papers.facts["may_add"]) == (1, False)


# by the API, and in number


def test_the_api_takes_and_lists_photographs(client: Client) -> None:
    cast, dig = builders.cast(), builders.excavation()
    part = builders.piece(cast, "3")
    builders.signed_in(client, "Saar Osei")

    def post(of: str, key: str, **more: Any) -> Any:
        said = {"of": of, "photograph": upload()} | more
        return client.post("/api/v1/photographs/", said, headers={"Idempotency-Key": key})

    made = post("th 2016 1 3", "a" * 20, view="north", has_scale="true", by="Ottilie Brandt")
    assert made.status_code == 422  # nobody of that name yet
    builders.person("Ottilie Brandt")
    made = post("th 2016 1 3", "a" * 20, view="north", has_scale="true", by="Ottilie Brandt")
    assert made.status_code == 201, made.content
    assert (made.json()["of"], made.json()["by"], made.json()["has_scale"]) == (part.number, "Ottilie Brandt", True)
    assert client.get(made["Location"]).json() == made.json()
    assert post(dig.number, "b" * 20).json()["shows_place"] is True
    many = post(cast.number, "c" * 20, photograph=[upload(), upload()])
    assert len(many.json()["items"]) == 2
    assert client.get(f"/api/v1/photographs/?of={part.number}").json()["count"] == 1
    assert client.get(f"/api/v1/photographs/?of={cast.number}").json()["count"] == 3
    assert client.get(f"/api/v1/photographs/?of={dig.number}").json()["count"] == 1
    assert client.post("/api/v1/photographs/", {"of": cast.number, "photograph": upload()}).status_code == 400
    assert post("2099.9", "d" * 20).status_code == 404
    wrong = post(cast.number, "e" * 20, photograph=upload(SVG, "nest.jpg"))
    assert (wrong.status_code, wrong.json()["errors"][0]["pointer"]) == (422, "/photograph")
    odd = post(cast.number, "f" * 20, veiw="north")
    assert odd.json()["errors"][0]["pointer"] == "/veiw"


def test_the_api_takes_papers_with_or_without_a_file(client: Client) -> None:
    cast = builders.cast()
    builders.signed_in(client, "Saar Osei")
    said = {"cast": cast.number, "kind": "letter", "what": "A letter", "dated": "summer 2011"}
    words = client.post(
        "/api/v1/documents/",
        said | {"where_it_lies": "folder 3"},
        "application/json",
        headers={"Idempotency-Key": "a" * 20},
    )
    assert words.status_code == 201, words.content
    assert words.json()["dated"]["earliest"] == "2011-06-01"
    scan = client.post("/api/v1/documents/", said | {"paper": upload()}, headers={"Idempotency-Key": "b" * 20})
    assert scan.json()["file_kind"] == "JPEG"
    nothing = client.post("/api/v1/documents/", said, "application/json", headers={"Idempotency-Key": "c" * 20})
    assert nothing.json()["errors"][0]["pointer"] == "/where_it_lies"
    assert client.get("/api/v1/documents/").json()["count"] == 2


def test_thirty_photographs_are_asked_for_like_three(client: Client) -> None:
    cast = builders.cast()
    builders.signed_in(client, "Imke Roodenburg")
    addresses = [
        f"{cast.href}photographs/",
        cast.href,
        "/casts/",
        "/api/v1/photographs/",
        "/api/v1/documents/",
        f"/api/v1/photographs/?of={cast.number}",
    ]

    def asked(address: str) -> int:
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            assert client.get(address).status_code == 200
        return len(queries)

    def more(n: int) -> None:
        for m in range(n):
            part = builders.piece(cast, str(m + 1 + 100 * n))
            photograph(piece=part, inside=jpeg(size=(40, 30)))
            actions.keep_document(builders.saar(), kind="letter", what=f"letter {m}", where_it_lies="office", cast=cast)

    more(3)
    few = {a: asked(a) for a in addresses}
    more(27)
    assert {a: asked(a) for a in addresses} == few
