"""The pages of pieces and of refitting."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from catalog.casts.models import BreakFace, CrumbLot, Join, Piece, RefusedFit
from tests import builders
from tests.catalog.casts.makers_pieces import broken, cast_in_pieces, face, joined

pytestmark = pytest.mark.django_db


@pytest.fixture
def ottilie(client: Client) -> Client:
    return builders.signed_in(client, "Ottilie Brandt")


def text(answer: Any) -> str:
    return re.sub(r"\s+", " ", answer.content.decode())


def test_a_dry_fit_is_written_on_the_refitting_page(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    face(pieces[3])
    face(pieces[4])
    said = {"face_a": "2016.1.4/a", "face_b": "2016.1.5/a", "state": "dry fit"}
    answer = ottilie.post("/casts/2016.1/refitting/joins/new/", said)
    assert answer.status_code == 302
    page = text(ottilie.get("/casts/2016.1/refitting/"))
    assert "2016.1.4/a to 2016.1.5/a" in page
    assert "Seven pieces in seven sections by fixed joins, six groups with dry fits, five loose pieces." in page


def test_what_is_wrong_with_a_join_stands_at_its_field(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    face(pieces[3])
    said = {"face_a": "2016.1.4/a", "face_b": "2016.1.9/a", "state": "fixed"}
    answer = ottilie.post("/casts/2016.1/refitting/joins/new/", said)
    assert answer.status_code == 422
    assert "is not a number of ours" in text(answer)
    assert "2016.1.9/a" in text(answer)
    assert Join.objects.count() == 0


def test_a_suggestion_is_taken_or_refused(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    a, b = face(pieces[3]), face(pieces[4])
    pair = {"face_a": a.number, "face_b": b.number}
    page = text(ottilie.get("/casts/2016.1/refitting/"))
    assert "It fits, dry: 2016.1.4/a to 2016.1.5/a" in page or "It fits, dry: 2016.1.5/a to 2016.1.4/a" in page
    ottilie.post("/casts/2016.1/refitting/joins/new/", pair | {"deed": "refused"})
    assert RefusedFit.objects.get().taken_back is False
    assert "It fits, dry:" not in text(ottilie.get("/casts/2016.1/refitting/"))
    ottilie.post("/casts/2016.1/refitting/joins/new/", pair | {"deed": "fits"})
    assert Join.objects.get().state == "dry fit"
    assert RefusedFit.objects.get().taken_back is True


def test_a_dry_fit_is_fixed_on_its_page(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    join = joined(face(pieces[0]), face(pieces[1]), "dry fit")
    assert ottilie.get(f"/joins/{join.pk}/").status_code == 200
    assert ottilie.post(f"/joins/{join.pk}/", {"state": "fixed", "version": 1}).status_code == 422
    said = {"state": "fixed", "adhesive": "acrylic resin", "by": "Ottilie Brandt", "version": 1}
    assert ottilie.post(f"/joins/{join.pk}/", said).status_code == 302
    now = Join.objects.get()
    assert (now.state, now.by.name) == ("fixed", "Ottilie Brandt")  # type: ignore[union-attr]


def test_a_face_is_added_measured_divided_and_placed(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    said = {"length": "14.1 mm", "width": "9", "side": "lower", "natural_end": "no"}
    assert ottilie.post("/casts/2016.1/4/faces/new/", said).status_code == 302
    a = BreakFace.objects.get()
    assert (a.letter, float(a.length_mm or 0)) == ("a", 14.1)
    assert ottilie.post(f"/faces/{a.pk}/", said | {"length": "15", "version": 1}).status_code == 302
    assert ottilie.post(f"/faces/{a.pk}/divide/").status_code == 302
    assert "a2" in text(ottilie.get("/casts/2016.1/4/"))
    b = face(pieces[3], "b")
    joined(b, face(pieces[4]))
    part = broken(pieces[3], "120", "130").children[1]
    page = text(ottilie.get("/casts/2016.1/refitting/"))
    assert "Which part carries the face?" in page
    assert "This part carries it" in text(ottilie.get(f"/faces/{b.pk}/"))
    assert ottilie.post(f"/faces/{b.pk}/part/", {"place-part": part.pk}).status_code == 302
    assert "Which part carries the face?" not in text(ottilie.get("/casts/2016.1/refitting/"))


def test_a_broken_piece_leads_to_its_parts_and_back(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    child = broken(pieces[3], "120.4", "88.1", "40.2").children[0]
    page = text(ottilie.get("/casts/2016.1/4/"))
    assert "2016.1.4 broke: it is 2016.1.4.1, 2016.1.4.2 and 2016.1.4.3 now." in page
    assert "Move it" not in page
    below = text(ottilie.get(child.href))
    assert "Broke from" in below
    assert "/casts/2016.1/4/" in below


def test_the_daily_corrections_on_pages(ottilie: Client) -> None:
    _cast, pieces = cast_in_pieces()
    cast_in_pieces("2019.2", 3)
    for deed in ("change", "strike-off", "part-number", "give-to-cast", "faces/new"):
        assert ottilie.get(f"/casts/2016.1/4/{deed}/").status_code == 200
    assert ottilie.post("/casts/2016.1/4/strike-off/", {"why": "", "version": 1}).status_code == 422
    assert ottilie.post("/casts/2016.1/4/strike-off/", {"why": "stone", "version": 1}).status_code == 302
    assert "2016.1.4 is struck off: stone." in text(ottilie.get("/casts/2016.1/4/"))
    assert ottilie.post("/casts/2016.1/4/put-back/").status_code == 302
    assert Piece.objects.get(pk=pieces[3].pk).present
    assert ottilie.post("/casts/2016.1/4/part-number/", {"mass": "3 g"})["Location"] == "/casts/2016.1/8/"
    assert "one number was on two pieces" in text(ottilie.get("/casts/2016.1/4/"))
    given = ottilie.post("/casts/2016.1/5/give-to-cast/", {"to": "2019.2", "version": 1})
    assert given["Location"] == "/casts/2019.2/4/"
    assert "2016.1.5" in text(ottilie.get("/casts/2019.2/4/"))
    assert ottilie.post("/casts/2016.1/crumbs/new/", {"mass": "12 g", "n": "5"}).status_code == 302
    lot = CrumbLot.objects.get()
    assert ottilie.get(f"/crumb-lots/{lot.pk}/piece/").status_code == 200
    assert ottilie.post(f"/crumb-lots/{lot.pk}/piece/", {"mass": "2"})["Location"] == "/casts/2016.1/9/"
    assert ottilie.post("/casts/2016.1/4/change/", {"kind": "tunnel", "from_cm": "5", "to_cm": "2"}).status_code == 422


def test_a_reader_reads_and_does_not_join(client: Client) -> None:
    _, pieces = cast_in_pieces()
    face(pieces[3])
    face(pieces[4])
    lenno = builders.signed_in(client, "Lenno Haak")
    page = text(lenno.get("/casts/2016.1/refitting/"))
    assert "It fits, dry" not in page
    assert lenno.post("/casts/2016.1/refitting/joins/new/", {"deed": "refused"}).status_code == 403


def test_the_list_of_pieces_narrows_and_goes_out(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    joined(face(pieces[0]), face(pieces[1]))
    broken(pieces[3], "120", "130")
    page = text(ottilie.get("/casts/2016.1/pieces/?hold=fixed"))
    assert "2 pieces" in page
    table = b"".join(ottilie.get("/casts/2016.1/pieces/?hold=broken&format=csv")).decode()
    assert "2016.1.4" in table
    assert "2016.1.4.1" not in table


def test_the_pages_ask_as_often_with_180_pieces_as_with_three(ottilie: Client) -> None:
    addresses = ("/casts/{0}/", "/casts/{0}/pieces/", "/casts/{0}/refitting/")
    counted: list[list[int]] = []
    for number, n in (("2016.1", 12), ("2011.3", 180)):
        _, pieces = cast_in_pieces(number, n)
        with builders.by_hand():
            faces = [BreakFace.objects.create(**_row(p, letter)) for p in pieces for letter in "ab"]
            for one, other in zip(faces[1:-1:4], faces[2::4], strict=False):
                facts = {"cast": one.piece.cast, "state": "fixed", "on": "2026-01-01"}
                Join.objects.create(face_a=one, face_b=other, **facts, **_when(one.piece))
        counts = []
        for address in addresses:
            ottilie.get(address.format(number))
            with CaptureQueriesContext(connection) as queries:
                assert ottilie.get(address.format(number)).status_code == 200
            counts.append(len(queries))
        counted.append(counts)
    assert counted[0] == counted[1]
    assert max(counted[1][1:]) < 30


def _when(piece: Piece) -> dict[str, Any]:
    return {"created_at": piece.created_at, "changed_at": piece.changed_at}


def _row(piece: Piece, letter: str) -> dict[str, Any]:
    return {"piece": piece, "first_on": piece, "letter": letter, "length_mm": 12} | _when(piece)
