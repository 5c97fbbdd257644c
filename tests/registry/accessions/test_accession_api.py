"""Entries, accessions and the register over the API, as a tool or a script sends them."""

from __future__ import annotations

import json
import uuid
from typing import Any

import pytest
from django.test import Client

from catalog.ground.collection import today
from registry.accessions.models import Accession, Entry, LedgerLine
from registry.accessions.seal import read_line
from tests import builders
from tests.registry.accessions.makers_accessions import again, brought_in, kept, numbered, place

pytestmark = pytest.mark.django_db


def sends(name: str = "Imke Roodenburg") -> Client:
    return builders.signed_in(Client(), name)


def post(address: str, said: Any, *, client: Client | None = None, key: str = "") -> Any:
    return (client or sends()).post(
        address, json.dumps(said), content_type="application/json", headers={"Idempotency-Key": key or uuid.uuid4().hex}
    )


def fields(answer: Any) -> set[str]:
    return {e["pointer"] for e in answer.json().get("errors", [])}


# entries


def test_an_entry_with_its_parts_and_place() -> None:
    place("B-3", "Shelf 3")
    said = {
        "what": "Plaster cast in two boxes", "how": "own excavation", "from": "the North Creek dig", "parts": 3,
        "place": "B-3", "came_on": "2026-01-20",
    }  # fmt: skip
    answer = post("/api/v1/entries/", said, client=sends("Saar Osei"))
    body = answer.json()
    number = f"E-{today().year}-1"
    assert (answer.status_code, body["number"], answer["Location"]) == (201, number, f"/api/v1/entries/{number}/")
    assert body["objects"] == [
        {
            "number": number, "description": "Plaster cast in two boxes", "state": "entered", "parts": 3,
            "same_as": None, "ground": "",
        }
    ]  # fmt: skip
    assert (body["from"], body["came_on"], body["taken_in_by"]) == ("the North Creek dig", "2026-01-20", "Saar Osei")
    assert sends().get(f"/api/v1/entries/{number}/").json() == body


def test_what_and_how_are_enough() -> None:
    assert post("/api/v1/entries/", {"what": "A box", "how": "offered"}).status_code == 201


@pytest.mark.parametrize(
    ("said", "pointers"),
    [
        ({}, {"/what", "/how"}),
        ({"what": " ", "how": "by balloon"}, {"/what", "/how"}),
        ({"what": "A box", "how": "offered", "parts": -3}, {"/parts"}),
        ({"what": "A box", "how": "offered", "parts": True}, {"/parts"}),
        ({"what": "A box", "how": "offered", "parts": "1_0"}, {"/parts"}),
        ({"what": "A box", "how": "offered", "came_on": "2026-02-31"}, {"/came_on"}),
        ({"what": "A box", "how": "offered", "came_on": "2999-01-01"}, {"/came_on"}),
        ({"what": "A box", "how": "offered", "came_on": "2026"}, {"/came_on"}),
        ({"what": "A box", "how": "offered", "place": "B-9"}, {"/place"}),
        ({"what": "A box", "how": "offered", "excavation": "D-9"}, {"/excavation"}),
        ({"what": "A box", "how": "offered", "by": "Nobody"}, {"/by"}),
        ({"what": "A box", "how": "offered", "value": "-1"}, {"/value"}),
        ({"what": "A box", "how": "offered", "objects": 0}, {"/objects"}),
        ({"what": "A box", "how": "offered", "massg": 3}, {"/massg"}),
        ({"what": "x" * 501, "how": "offered"}, {"/what"}),
    ],
)
def test_what_is_wrong_is_named_and_nothing_is_written(said: dict[str, Any], pointers: set[str]) -> None:
    answer = post("/api/v1/entries/", said)
    assert (answer.status_code, fields(answer)) == (422, pointers), answer.content
    assert answer["Content-Type"] == "application/problem+json"
    assert not Entry.objects.exists()


def test_the_same_key_is_one_entry_and_other_words_under_it_are_refused() -> None:
    client, said = sends(), {"what": "A box", "how": "offered"}
    first = post("/api/v1/entries/", said, client=client, key="k" * 20)
    second = post("/api/v1/entries/", said, client=client, key="k" * 20)
    assert first.json() == second.json()
    assert second["Kept-Answer"] == "true"
    assert post("/api/v1/entries/", {"what": "Two", "how": "offered"}, client=client, key="k" * 20).status_code == 422
    bare = client.post("/api/v1/entries/", json.dumps(said), content_type="application/json")
    assert bare.status_code == 400
    assert Entry.objects.count() == 1


def test_the_phone_sends_its_form_with_photographs_and_its_own_hour(tmp_path: Any, settings: Any) -> None:
    from io import BytesIO

    from django.core.files.uploadedfile import SimpleUploadedFile
    from PIL import Image

    from catalog.media.models import Photograph

    picture = BytesIO()
    Image.new("RGB", (60, 40), "white").save(picture, "JPEG")
    said = {
        "what": "Plaster cast", "how": "offered", "from": "Marit Olde", "parts": "2", "former_numbers": "Nest 7a\nNest 7",
        "came_on": "2026-01-20", "made_at": "2026-01-20T13:20:00Z", "value": "1 250,50 EUR",
        "photographs": SimpleUploadedFile("in.jpg", picture.getvalue(), "image/jpeg"),
    }  # fmt: skip
    answer = sends("Saar Osei").post("/api/v1/entries/", said, headers={"Idempotency-Key": uuid.uuid4().hex})
    assert answer.status_code == 201, answer.content
    made = Entry.objects.get()
    cast = made.objects_of.get().cast
    assert made.made_at.isoformat() == "2026-01-20T13:20:00+00:00"
    assert sorted(f.text for f in cast.former_numbers.all()) == ["Nest 7", "Nest 7a"]
    assert Photograph.objects.get(cast=cast).by.name == "Saar Osei"
    assert str(made.stated_value.amount) == "1250.5000"


def test_an_entry_is_put_right_under_its_version() -> None:
    number = post("/api/v1/entries/", {"what": "A box", "how": "offered"}).json()["number"]
    client, address = sends(), f"/api/v1/entries/{number}/"
    assert client.patch(address, {"from": "Marit"}, content_type="application/json").status_code == 428
    right = client.patch(
        address, {"from": "Marit", "parts": 2}, content_type="application/json", headers={"If-Match": '"v1"'}
    )
    assert (right.status_code, right.json()["from"], right.json()["parts"], right["ETag"]) == (200, "Marit", 2, '"v2"')
    late = client.patch(address, {"note": "x"}, content_type="application/json", headers={"If-Match": '"v1"'})
    assert late.status_code == 412


def test_entries_are_filtered_by_state_and_way() -> None:
    numbered()
    brought_in("offered")
    client = sends()
    assert client.get("/api/v1/entries/").json()["count"] == 2
    assert client.get("/api/v1/entries/?state=entered").json()["count"] == 1
    assert client.get("/api/v1/entries/?state=entered,accessioned").json()["count"] == 2
    assert client.get("/api/v1/entries/?how=offered").json()["count"] == 1
    assert client.get("/api/v1/entries/?colour=red").status_code == 400


# accessions


def test_the_smallest_accession() -> None:
    cast = brought_in()
    answer = post("/api/v1/accessions/", {"entry": cast.number, "title": "unknown"})
    body = answer.json()
    assert (answer.status_code, body["number"], body["line"]) == (201, f"{today().year}.1", 2)
    assert body["on"]["earliest"] == today().isoformat()
    assert {"photograph", "place"} <= {lack["key"] for lack in body["lacks"]}
    assert sends().get(f"/api/v1/accessions/{body['number']}/").json() == body


def test_what_is_missing_is_listed_with_where_to_mend_it() -> None:
    cast = brought_in("offered", parts=None)
    answer = post("/api/v1/accessions/", {"entry": cast.number})
    body = answer.json()
    assert answer.status_code == 422
    assert [m["what"] for m in body["missing"]] == ["parts", "title", "decision"]
    assert body["missing"][2]["remedy"] == f"/casts/{cast.number}/proposal/"
    assert not LedgerLine.objects.exists()
    described = sends().patch(
        f"/api/v1/casts/{cast.number}/", {"n_parts": 2}, content_type="application/json", headers={"If-Match": '"v1"'}
    )
    assert described.status_code == 200
    whole = {
        "entry": cast.number, "title": "clear", "title_paper": "letter of 3 March", "way": "gift", "from": "Marit Olde",
        "decided": {"by": "Tobias Wren", "on": today().isoformat(), "minute": "Minute 4"},
    }  # fmt: skip
    assert post("/api/v1/accessions/", whole).status_code == 201


def test_a_decision_by_oneself_and_an_unknown_entry_are_refused() -> None:
    cast = brought_in("offered")
    mine = {"by": "Imke Roodenburg", "on": today().isoformat(), "minute": "Minute 4"}
    answer = post("/api/v1/accessions/", {"entry": cast.number, "title": "clear", "way": "gift", "decided": mine})
    assert (answer.status_code, fields(answer)) == (422, {"/decided/by"})
    answer = post("/api/v1/accessions/", {"entry": "E-2026-999", "title": "clear"})
    assert (answer.status_code, fields(answer)) == (422, {"/entry"})
    answer = post("/api/v1/accessions/", {"entry": cast.number, "title": "mine"})
    assert (answer.status_code, fields(answer)) == (422, {"/title"})


def test_a_second_accession_of_the_same_is_a_conflict() -> None:
    cast = kept()
    said = {"entry": cast.number, "title": "clear"}
    client = sends()
    first = post("/api/v1/accessions/", said, client=client, key="k" * 20)
    assert post("/api/v1/accessions/", said, client=client, key="k" * 20).json() == first.json()
    assert post("/api/v1/accessions/", said).status_code == 409
    assert Accession.objects.count() == 1


def test_only_a_registrar_gives_a_number_by_the_api_too() -> None:
    cast = brought_in()
    for name in ("Tobias Wren", "Saar Osei", "Lenno Haak"):
        assert (
            post("/api/v1/accessions/", {"entry": cast.number, "title": "clear"}, client=sends(name)).status_code == 403
        )
    assert post("/api/v1/accessions/", {"entry": cast.number}, client=Client()).status_code == 401
    assert again(cast).number == cast.number


def test_a_token_that_may_all_gives_a_number() -> None:
    from catalog.people.actions import issue_token

    _, secret = issue_token(builders.imke(), called="script", scope="all")
    said = json.dumps({"entry": brought_in().number, "title": "unknown"})
    keys = {"Authorization": f"Bearer {secret}", "Idempotency-Key": "k" * 20}
    answer = Client().post("/api/v1/accessions/", said, content_type="application/json", headers=keys)
    assert answer.status_code == 201, answer.content


# the register


def test_the_register_is_read_by_line_and_by_number() -> None:
    made = numbered()
    client = sends("Lenno Haak")
    body = client.get("/api/v1/register/").json()
    assert [item["line"] for item in body["items"]] == [2, 1]
    line = client.get("/api/v1/register/2/").json()
    assert line["number"] == made.number
    assert line["sealed"]["act"] == str(made.uid)
    assert line["leaf"] == bytes(made.line.leaf).hex()
    assert client.get(f"/api/v1/register/?number={made.number}").json()["count"] == 1
    assert client.get("/api/v1/register/?kind=opening").json()["count"] == 1
    for nothing in ("99", "0", "-1", "x", "9" * 30):
        assert client.get(f"/api/v1/register/{nothing}/").status_code == 404
    assert client.post("/api/v1/register/", {}, content_type="application/json").status_code == 405


def test_the_lines_go_out_letter_for_letter() -> None:
    numbered()
    answer = sends("Lenno Haak").get("/api/v1/register/lines.jsonl")
    raw = b"".join(answer.streaming_content)
    assert answer["Content-Type"].startswith("application/x-ndjson")
    assert raw == b"".join(bytes(line.raw) + b"\n" for line in LedgerLine.objects.order_by("n"))
    assert [read_line(one)["line"] for one in raw.split(b"\n")[:-1]] == [1, 2]
    assert Client().get("/api/v1/register/lines.jsonl").status_code == 401
