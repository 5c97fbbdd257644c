"""Pieces, faces, joins and crumbs for machines."""

from __future__ import annotations

import json
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from catalog.casts.models import Join, Piece
from tests import builders
from tests.catalog.casts.makers_pieces import broken, cast_in_pieces, face, joined

pytestmark = pytest.mark.django_db
API = "/api/v1"


def post(client: Client, path: str, said: dict[str, Any]) -> Any:
    headers = {"Idempotency-Key": uuid4().hex}
    return client.post(f"{API}{path}", json.dumps(said), content_type="application/json", headers=headers)


def patch(client: Client, path: str, said: dict[str, Any], version: int) -> Any:
    headers = {"If-Match": f'"v{version}"'}
    return client.patch(f"{API}{path}", json.dumps(said), content_type="application/json", headers=headers)


@pytest.fixture
def ottilie(client: Client) -> Client:
    return builders.signed_in(client, "Ottilie Brandt")


def test_a_broken_piece_says_what_it_broke_into(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    broken(pieces[3], "120.4", "88.1")
    said = ottilie.get(f"{API}/pieces/2016.1.4/").json()
    assert (said["present"], said["parts"], said["mass_g"]) == (False, ["2016.1.4.1", "2016.1.4.2"], 250)


def test_two_faces_are_joined_by_their_names(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    face(pieces[3])
    face(pieces[4], "b")
    said = {"faces": ["2016.1.4/a", "2016.1.5/b"], "state": "dry fit", "by": "Ottilie Brandt", "on": "2026-11-20"}
    answer = post(ottilie, "/joins/", said)
    assert answer.status_code == 201
    assert answer.json()["faces"] == ["2016.1.4/a", "2016.1.5/b"]
    assert ottilie.get(answer["Location"]).json()["by"] == "Ottilie Brandt"


def test_the_same_post_twice_makes_one_join(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    face(pieces[3])
    face(pieces[4])
    said, headers = json.dumps({"faces": ["2016.1.4/a", "2016.1.5/a"]}), {"Idempotency-Key": uuid4().hex}
    both = [ottilie.post(f"{API}/joins/", said, content_type="application/json", headers=headers) for _ in range(2)]
    assert [a.status_code for a in both] == [201, 201]
    assert Join.objects.count() == 1


@pytest.mark.parametrize(
    ("faces", "status", "words"),
    [
        (["2016.1.1/a", "2016.1.1/a"], 422, "does not fit itself"),
        (["2016.1.1/a", "2016.1.1/b"], 422, "Two faces of one piece"),
        (["2016.1.1/a", "2019.2.1/a"], 422, "two casts"),
        (["2016.1.1/a", "2016.1.2/a"], 409, "joined already"),
        (["2016.1.1/a", "2016.1.4/a"], 409, "natural end"),
        (["2016.1.1/a", "2016.1.9/a"], 422, "not a number of ours"),
        (["2016.1.1/a", "2016.1.3/z"], 422, "no face z"),
        (["2016.1.1/a", "nonsense"], 422, "no face of a piece"),
    ],
)
def test_what_is_no_join_is_named(ottilie: Client, faces: list[str], status: int, words: str) -> None:
    _, pieces = cast_in_pieces()
    _, others = cast_in_pieces("2019.2", 3)
    for piece in (pieces[0], pieces[0], pieces[1], pieces[2], pieces[3], others[0]):
        face(piece)
    end = pieces[3].faces.get()
    patch(ottilie, f"/faces/{end.uid}/", {"natural_end": True}, end.version)
    joined(pieces[1].faces.get(), pieces[2].faces.get())
    answer = post(ottilie, "/joins/", {"faces": faces, "state": "dry fit"})
    assert answer.status_code == status
    assert words in answer.json()["detail"]
    assert Join.objects.count() == 1


def test_a_dry_fit_is_fixed_then_undone(ottilie: Client) -> None:
    _, pieces = cast_in_pieces()
    join = joined(face(pieces[0]), face(pieces[1]), "dry fit")
    path = f"/joins/{join.uid}/"
    assert patch(ottilie, path, {"state": "fixed"}, 1).status_code == 422
    assert patch(ottilie, path, {"state": "fixed", "adhesive": "acrylic resin"}, 1).json()["state"] == "fixed"
    assert patch(ottilie, path, {"state": "undone"}, 1).status_code == 412
    assert patch(ottilie, path, {"state": "undone", "on": "2999-01-01"}, 2).status_code == 422
    assert patch(ottilie, path, {"state": "undone"}, 2).json()["state"] == "undone"
    assert patch(ottilie, path, {"state": "fixed", "adhesive": "x"}, 3).status_code == 409


def test_a_cast_says_its_sections_and_completeness(ottilie: Client) -> None:
    _, pieces = cast_in_pieces(n=5)
    joined(face(pieces[0]), face(pieces[1]))
    joined(face(pieces[2]), face(pieces[3]), "dry fit")
    face(pieces[4])
    said = ottilie.get(f"{API}/casts/2016.1/").json()
    assert said["pieces_present"] == 5
    assert [s["pieces"] for s in said["sections"]] == [
        ["2016.1.1", "2016.1.2"],
        ["2016.1.3"],
        ["2016.1.4"],
        ["2016.1.5"],
    ]
    assert said["sections"][0]["mass_g"] == 500
    assert said["loose_pieces"] == ["2016.1.5"]
    shares = {c["by"]: c for c in said["completeness"]}
    assert set(shares) == {"mass", "break faces", "chambers"}
    assert shares["break faces"] == {
        "by": "break faces",
        "share": 0.8,
        "uncertainty": None,
        "of": "4 of 5 faces",
        "why": "",
    }
    assert shares["mass"]["share"] is None


def test_faces_are_added_measured_and_divided(ottilie: Client) -> None:
    _, _pieces = cast_in_pieces()
    made = post(ottilie, "/faces/", {"piece": "2016.1.1", "length_mm": "14.1"})
    assert made.status_code == 201
    assert (made.json()["number"], made.json()["state"]) == ("2016.1.1/a", "open")
    assert post(ottilie, "/faces/", {"piece": "2016.1.1", "letter": "a"}).status_code == 422
    assert post(ottilie, "/faces/", {"piece": "2016.1", "letter": "b"}).status_code == 422
    parts = post(ottilie, f"/faces/{made.json()['uid']}/divide/", {}).json()
    assert [p["letter"] for p in parts] == ["a1", "a2"]
    assert post(ottilie, f"/faces/{made.json()['uid']}/divide/", {}).status_code == 409


def test_the_daily_corrections(ottilie: Client) -> None:
    _, _pieces = cast_in_pieces(n=3)
    cast_in_pieces("2019.2", 2)
    lot = post(ottilie, "/crumb-lots/", {"of": "2016.1", "mass_g": "12.5", "n": 9}).json()
    crumb = post(ottilie, f"/crumb-lots/{lot['uid']}/piece/", {"mass_g": "2.5"}).json()
    assert (crumb["number"], crumb["mass_g"]) == ("2016.1.4", 2.5)
    left = ottilie.get(f"{API}/crumb-lots/{lot['uid']}/").json()
    assert (left["n"], left["mass_g"]) == (8, 10)
    second = post(ottilie, "/pieces/2016.1.2/part-number/", {"mass_g": "3"}).json()
    assert (second["number"], second["parted_from"]) == ("2016.1.5", "2016.1.2")
    stone = post(ottilie, "/pieces/2016.1.3/strike-off/", {"why": "stone"}).json()
    assert (stone["present"], stone["struck_off"]) == (False, "stone")
    there = post(ottilie, "/pieces/2016.1.1/give-to-cast/", {"to": "2019.2"}).json()
    assert there["number"] == "2019.2.3"
    old = ottilie.get(f"{API}/pieces/2016.1.1/").json()
    assert (old["present"], old["became"]) == (False, "2019.2.3")
    assert ottilie.get("/casts/2016.1/1/")["Location"] == "/casts/2019.2/3/"
    assert post(ottilie, "/pieces/2016.1.1/strike-off/", {"why": "soil"}).status_code == 409


def test_a_piece_is_described_and_not_weighed_by_patch(ottilie: Client) -> None:
    _, _pieces = cast_in_pieces(n=1)
    path = "/pieces/2016.1.1/"
    assert patch(ottilie, path, {"up_mark": True, "compass": "north", "largest_mm": "81"}, 1).status_code == 200
    assert patch(ottilie, path, {"from_cm": "20", "to_cm": "10"}, 2).status_code == 422
    assert patch(ottilie, path, {"mass_g": "3"}, 2).status_code == 422
    assert Piece.objects.get().compass == "north"


def test_lists_ask_the_same_whatever_the_rows(ottilie: Client, django_assert_max_num_queries: Any) -> None:
    _, pieces = cast_in_pieces(n=30)
    faces = [face(p) for p in pieces]
    for a, b in zip(faces[::2], faces[1::2], strict=True):
        joined(a, b, "dry fit")
    for path in ("/pieces/", "/joins/", "/faces/"):
        with django_assert_max_num_queries(14):
            assert len(ottilie.get(f"{API}{path}?limit=100").json()["items"]) >= 15


def test_a_reader_reads_and_does_not_join(client: Client) -> None:
    _, pieces = cast_in_pieces()
    face(pieces[0])
    face(pieces[1])
    reader = builders.signed_in(client, "Lenno Haak")
    assert post(reader, "/joins/", {"faces": ["2016.1.1/a", "2016.1.2/a"]}).status_code == 403
    assert reader.get(f"{API}/faces/").status_code == 200
