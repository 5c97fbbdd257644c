"""Photographs at the door, a title's paper, the page of an older register: kept byte for byte in the act that names them."""

from __future__ import annotations

import hashlib
from io import BytesIO
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from catalog.media.models import Document, Photograph
from registry.accessions.models import Entry, LedgerLine, Title
from registry.accessions.reads import members_of
from tests import builders
from tests.registry.accessions.makers_accessions import numbered

pytestmark = pytest.mark.django_db


def picture(name: str = "in.png") -> tuple[SimpleUploadedFile, bytes]:
    kept = BytesIO()
    Image.new("RGB", (60, 40), "white").save(kept, "PNG")
    return SimpleUploadedFile(name, kept.getvalue(), "image/png"), kept.getvalue()


def test_a_photograph_taken_at_the_door_is_of_the_first_object() -> None:
    file, raw = picture()
    said = {"what": "A box", "how": "offered", "photographs": [file]}
    assert builders.signed_in(Client(), "Saar Osei").post("/entries/new/", said).status_code == 302
    kept = Photograph.objects.get()
    assert (kept.cast, kept.sha256) == (Entry.objects.get().objects_of.get().cast, hashlib.sha256(raw).hexdigest())


@pytest.mark.parametrize(
    ("name", "raw"), [("a.png", b"<svg onload='alert(1)'/>"), ("a.jpg", b"MZ not a picture"), ("a.txt", b"words")]
)
def test_what_is_no_picture_is_named_and_no_entry_is_written(name: str, raw: bytes) -> None:
    said = {"what": "A box", "how": "offered", "photographs": [SimpleUploadedFile(name, raw)]}
    answer = builders.signed_in(Client(), "Saar Osei").post("/entries/new/", said)
    assert answer.status_code == 422
    assert name in answer.content.decode()
    assert not Entry.objects.exists()


def test_by_the_api_the_photograph_that_is_wrong_is_pointed_at() -> None:
    good, _ = picture()
    said = {"what": "A box", "how": "offered", "photographs": [good, SimpleUploadedFile("b.png", b"MZ")]}
    client = builders.signed_in(Client(), "Saar Osei")
    answer = client.post("/api/v1/entries/", said, headers={"Idempotency-Key": "k" * 20})
    assert (answer.status_code, answer.json()["errors"][0]["pointer"]) == (422, "/photographs/1")
    assert not Entry.objects.exists()


def test_the_paper_of_a_title_is_kept_with_it() -> None:
    made = numbered()
    file, raw = picture("receipt.png")
    said: dict[str, Any] = {"state": "clear", "ground": "Receipt found", "paper": "receipt of 1998", "paper_file": file}
    answer = builders.signed_in(Client()).post(f"/casts/{made.number}/title/new/", said)
    assert answer.status_code == 302, answer.content
    title = Title.objects.filter(cast=made.cast).order_by("-pk").first()
    assert (title.document.kind, title.document.sha256) == ("title", hashlib.sha256(raw).hexdigest())


def test_the_photographed_page_is_sealed_into_the_line_that_is_taken_over() -> None:
    file, raw = picture("page14.png")
    said: dict[str, Any] = {
        "number": "2011.3", "object": "Dune bee", "book": "Book 1", "page": "14", "sure": "yes", "title": "clear",
        "scan_file": file,
    }  # fmt: skip
    answer = builders.signed_in(Client()).post("/register/transcribe/", said)
    assert answer.status_code == 302, answer.content
    sealed = members_of(LedgerLine.objects.get(kind="transcribed"))
    assert sealed["source"]["scan_sha256"] == hashlib.sha256(raw).hexdigest()
    assert Document.objects.get(kind="register page").cast.number == "2011.3"
