"""Breakages by page, by the API and on paper."""

from __future__ import annotations

import io
from typing import Any

import pdfplumber
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from catalog.casts.actions import add_face, join_faces, place_face
from catalog.casts.models import Piece
from registry.condition.models import Breakage, Incident
from tests import builders
from tests.registry.condition.makers_incidents import broke, posted, shrimp

pytestmark = pytest.mark.django_db
BODY = {
    "of": "2016.1.4",
    "noticed_on": "2026-11-20",
    "how": "fell",
    "parts": [{"mass_g": "120.4"}, {"mass_g": "88.1"}],
    "crumbs_g": "3.2",
    "lost_g": "0",
}


def test_the_fixed_point_of_the_api(client: Any) -> None:
    shrimp()
    builders.signed_in(client, "Saar Osei")
    answer = posted(client, BODY)
    assert answer.status_code == 201, answer.content
    said = answer.json()
    assert said["number"] == Incident.objects.get().number
    assert said["parts"] == ["2016.1.4.1", "2016.1.4.2"]
    assert (float(said["unexplained_g"]), said["verdict"]) == (pytest.approx(0.1), "adds up")
    assert float(said["unexplained_u_g"]) > 0
    assert said["consequences"][0] == "2016.1.4 is now 2016.1.4.1 and 2016.1.4.2."
    again = posted(client, BODY)
    assert (again.status_code, again.json()) == (201, said)
    broken_already = posted(client, BODY, "broke-on-the-bench-0002")
    assert broken_already.status_code == 409
    assert "Its parts are 2016.1.4.1 and 2016.1.4.2" in broken_already.json()["detail"]
    assert Breakage.objects.count() == 1
    one = client.get(answer["Location"])
    assert (one.status_code, one.json()["says"]) == (200, "2016.1.4 broke")


@pytest.mark.parametrize(
    "wrong, pointer, sentence",
    [
        ({"of": "2099.1"}, "/of", "is not a number of ours"),
        ({"of": []}, "/of", "Write the number of what broke"),
        ({"parts": [{"mass_g": "-1"}, {"mass_g": "2"}]}, "/parts/0/mass_g", "cannot be below zero"),
        ({"parts": [{"mass_g": "0"}, {"mass_g": "2"}]}, "/parts/0/mass_g", "weighs more than nothing"),
        ({"parts": [{"mass_g": "12 cm"}, {"mass_g": "2"}]}, "/parts/0/mass_g", "g"),
        ({"parts": [{"mass_g": "300"}, {"mass_g": "2"}]}, "/parts/0/mass_g", "more than"),
        ({"crumbs_g": "-3"}, "/crumbs_g", "cannot be below zero"),
        ({"lost_g": "-3"}, "/lost_g", "cannot be below zero"),
        ({"noticed_on": "2016-06-10"}, "/noticed_on", "came out of the ground"),
        ({"noticed_on": "2999-01-01"}, "/noticed_on", "has not come yet"),
        ({"how": "sat on"}, "/how", ""),
        ({"of": ["2016.1.4", "2016.1.4"]}, "/of", "named twice"),
        ({"parts": []}, "/parts", "into how many parts"),
        ({"whose": "mine"}, "/whose", "There is no"),
    ],
)
def test_what_is_wrong_is_named_and_nothing_is_written(
    client: Any, wrong: dict[str, Any], pointer: str, sentence: str
) -> None:
    _, piece = shrimp()
    builders.signed_in(client, "Saar Osei")
    answer = posted(client, BODY | wrong)
    assert answer.status_code == 422, answer.content
    errors = {e["pointer"]: e["detail"] for e in answer.json()["errors"]}
    assert pointer in errors, errors
    assert sentence in errors[pointer]
    assert not Incident.objects.exists()
    assert Piece.objects.get(pk=piece.pk).present


def test_a_unit_that_is_understood_is_taken(client: Any) -> None:
    shrimp()
    builders.signed_in(client, "Saar Osei")
    answer = posted(client, BODY | {"parts": [{"mass_g": "0.1204 kg"}, {"mass_g": "88.1 g"}]})
    assert answer.status_code == 201, answer.content
    assert [float(m) for m in answer.json()["breakages"][0]["masses_g"]] == [120.4, 88.1]


def test_several_break_at_once_and_a_part_of_nobody_waits(client: Any) -> None:
    cast, _ = shrimp()
    builders.piece(cast, "5")
    builders.signed_in(client, "Saar Osei")
    parts = [{"of": "2016.1.5", "mass_g": "20"}, {"of": "2016.1.5", "mass_g": "10"}, {"mass_g": "7"}]
    answer = posted(client, {"of": ["2016.1.4", "2016.1.5"], "how": "fell", "parts": parts})
    assert answer.status_code == 201, answer.content
    said = answer.json()
    assert (said["parts"], said["loose_n"]) == (["2016.1.5.1", "2016.1.5.2"], 1)
    assert said["unexplained_g"] is None
    assert [b["way"] for b in said["breakages"]] == ["not known", "parts"]


def test_the_list_asks_as_much_with_nine_as_with_three(client: Any) -> None:
    cast, _ = shrimp()
    builders.signed_in(client, "Lenno Haak")

    def asked(address: str) -> int:
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            assert client.get(address).status_code == 200
        return len(queries)

    def more(first: int) -> None:
        for n in range(first, first + 3):
            broke(builders.piece(cast, str(n)), "1", None)

    more(10)
    few = [asked(a) for a in ("/api/v1/breakages/", "/api/v1/incidents/", "/incidents/", cast.href)]
    more(20)
    more(30)
    assert [asked(a) for a in ("/api/v1/breakages/", "/api/v1/incidents/", "/incidents/", cast.href)] == few


def test_at_the_bench_three_answers_are_enough(client: Any) -> None:
    _, piece = shrimp()
    builders.signed_in(client, "Saar Osei")
    page = client.get(f"{piece.href}breakage/").content.decode()
    for words in (
        "Noticed now",
        "Its parts get the next numbers",
        "Leave the break faces clean",
        "Into how many parts",
    ):
        assert words in page
    done = client.post(f"{piece.href}breakage/", {"of": "2016.1.4", "n_parts": "3", "how": "fell"})
    incident = Incident.objects.get()
    assert (done.status_code, done["Location"]) == (302, incident.href)
    shown = client.get(incident.href).content.decode()
    for words in ("2016.1.4.3", "Weigh the parts", "Labels of the parts", "Insurance note", "take it back"):
        assert words in shown
    first = Piece.objects.get(suffix="4.1")
    weighed = client.post(f"{incident.href}masses/", {f"mass_{first.pk}": "0,5 kg ± 1 g", "mass_state": "air dry"})
    assert weighed.status_code == 302
    first.refresh_from_db()
    assert (first.mass_g, first.mass_u_g, first.mass_state) == (500, 1, "air dry")
    assert "2016.1.4 broke" in client.get(piece.href).content.decode()


def test_which_part_carries_the_face_is_one_press_from_the_incident(client: Any) -> None:
    cast, piece = shrimp()
    saar = builders.saar()
    face = add_face(saar, piece)
    join_faces(saar, face, add_face(saar, builders.piece(cast, "5")))
    done = broke(piece, "120.4", "88.1")
    builders.signed_in(client, "Saar Osei")
    address = f"/faces/{face.pk}/"
    assert address in client.get(done.incident.href).content.decode()
    assert client.get(address).status_code == 200
    place_face(saar, face.pk, Piece.objects.get(suffix="4.2"))
    assert address not in client.get(done.incident.href).content.decode()


@pytest.mark.parametrize(
    "wrong, sentence",
    [
        ({"n_parts": ""}, "Say into how many parts it broke"),
        ({"n_parts": "more"}, "Write into how many parts"),
        ({"mass_1": "-4"}, "cannot be below zero"),
        ({"mass_1": "9 cm"}, "g"),
        ({"noticed_on": "2999-01-01"}, "not come yet"),
        ({"noticed_on": "2016-01-01"}, "came out of the ground"),
        ({"of": "2099.7"}, "is not a number of ours"),
        ({"also": "2099.8"}, "is not a number of ours"),
    ],
)
def test_the_page_keeps_what_was_typed_and_says_what_is_wrong(
    client: Any, wrong: dict[str, str], sentence: str
) -> None:
    shrimp()
    builders.signed_in(client, "Saar Osei")
    answer = client.post("/breakages/new/", {"of": "2016.1.4", "n_parts": "2", "note": "off the bench"} | wrong)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert sentence in page
    assert "off the bench" in page
    assert not Incident.objects.exists()


def test_a_photograph_is_kept_with_the_incident(client: Any) -> None:
    from PIL import Image

    _, piece = shrimp()
    builders.signed_in(client, "Saar Osei")
    file = io.BytesIO()
    Image.new("RGB", (80, 60), "grey").save(file, "JPEG")
    file.seek(0)
    file.name = "break.jpg"
    client.post("/breakages/new/", {"of": "2016.1.4", "n_parts": "2", "photographs": [file]})
    picture = Incident.objects.get().pictures.get().photograph
    assert (picture.piece, picture.cast) == (piece, piece.cast)
    assert str(picture.uid) in client.get(Incident.objects.get().href).content.decode()


def test_the_insurance_note_says_what_broke_and_is_the_same_paper_again(client: Any) -> None:
    _, piece = shrimp()
    done = broke(piece, "120.4", "88.1")
    builders.signed_in(client, "Imke Roodenburg")
    first = client.get(f"{done.incident.href}papers/insurance-note.pdf")
    assert (first.status_code, first["Content-Type"]) == (200, "application/pdf")
    with pdfplumber.open(io.BytesIO(first.content)) as pdf:
        text = "".join(page.extract_text() for page in pdf.pages)
    for words in ("2016.1.4.1", "120.4", "It fell", done.incident.number):
        assert words in text
    assert client.get(f"{done.incident.href}papers/insurance-note.pdf").content == first.content


def test_the_keeper_closes_and_who_recorded_takes_back(client: Any) -> None:
    _, piece = shrimp()
    done = broke(piece, "120.4", "88.1")
    href = done.incident.href
    builders.signed_in(client, "Tobias Wren")
    assert "Decide and close" in client.get(href).content.decode()
    assert client.post(f"{href}decision/", {"lesson": "carry the tray", "claim": "no"}).status_code == 302
    assert "carry the tray" in client.get(href).content.decode()
    other = broke(Piece.objects.get(suffix="4.1"), "60", "60")
    builders.signed_in(client, "Saar Osei")
    back = client.post(f"{other.incident.href}take-back/", {"why": "another piece"})
    assert back.status_code == 302
    assert "Taken back on" in client.get(other.incident.href).content.decode()


def test_the_list_is_narrowed_and_goes_out_as_a_spreadsheet(client: Any) -> None:
    _, piece = shrimp()
    done = broke(piece, "120.4", "88.1")
    builders.signed_in(client, "Lenno Haak")
    assert done.incident.number in client.get("/incidents/?kind=breakage&how=fell&q=2016.1").content.decode()
    assert "No incident is all of that" in client.get("/incidents/?kind=missing").content.decode()
    rows = b"".join(client.get("/incidents/?format=csv").streaming_content).decode()  # type: ignore[attr-defined]
    assert "2016.1.4" in rows
    assert client.get("/breakages/new/").status_code == 403
