"""Examining on a page, without script and from a phone that had no signal; the report; the API."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from registry.condition.models import Examination
from tests import builders
from tests.registry.condition.makers_examinations import ago, answered, chip, examined, picture

pytestmark = pytest.mark.django_db
API = "/api/v1/examinations/"


@pytest.fixture
def ottilie(client: Client) -> Client:
    return builders.signed_in(client, "Ottilie Brandt")


def key(n: int = 1) -> dict[str, str]:
    return {"Idempotency-Key": f"a-look-of-its-own-{n:04}"}


def posted(client: Client, said: dict[str, Any], n: int = 1) -> Any:
    return client.post(API, json.dumps(said), content_type="application/json", headers=key(n))


# the page


def test_nothing_is_chosen_beforehand(ottilie: Client) -> None:
    cast = builders.cast("2014.2")
    examined(cast, on=ago(60), new=(chip(picture(cast)),))
    page = ottilie.get("/casts/2014.2/examinations/new/").content.decode()
    form = page[page.index('<form class="stack wide form"') : page.index("</main>")]
    assert " checked" not in form
    assert "Finding 1: what became of it?" in page
    assert "stroke-dasharray" in page
    assert "fixed when you sign" in page


def test_an_examination_is_signed_in_one_press_and_read_again(ottilie: Client) -> None:
    cast = builders.cast("2014.2")
    shot = picture(cast)
    last = examined(cast, on=ago(60), new=(chip(shot),))
    at = "/casts/2014.2/examinations/new/?for=on+arrival"
    assert '<option value="on arrival" selected>' in ottilie.get(at).content.decode()
    open_finding = f"c{last.findings.get().pk}_verdict"
    typed = {"reason": "on arrival", "grade": "poor", "method": ["by eye", "raking light"], "then": "sign"}
    wrong = ottilie.post(at, typed)
    assert wrong.status_code == 422
    assert f'href="#id_{open_finding}' in wrong.content.decode()
    typed |= {open_finding: "as it was", "n2_kind": "crack", "n2_size_mm": "41", "n2_grade": "poor"}
    typed |= {"n2_shape": "line", "n2_position": "10,10 50,60", "n2_picture": str(shot.uid)}
    done = ottilie.post(at, typed)
    assert done.status_code == 302, done.content.decode()
    look = Examination.objects.latest("pk")
    assert done["Location"] == look.href
    assert [(f.n, f.kind, f.verdict) for f in look.findings.order_by("n")] == [
        (1, "chip", "as it was"),
        (2, "crack", "new"),
    ]
    page = ottilie.get(look.href).content.decode()
    assert "Poor: unstable or hard to handle" in page
    assert "<polyline" in page
    cast_page = ottilie.get("/casts/2014.2/").content.decode()
    assert "Crack" in cast_page
    beside = ottilie.get(f"/examinations/{last.pk}/against/{look.pk}/").content.decode()
    assert "One finding is another than before" in beside


def test_a_mark_outside_the_picture_is_named_at_its_field_and_all_is_kept(ottilie: Client) -> None:
    cast = builders.cast("2014.2")
    shot = picture(cast)
    typed = {"reason": "routine", "grade": "fair", "n1_kind": "chip", "n1_shape": "point", "n1_position": "4000, 3"}
    answer = ottilie.post(
        "/casts/2014.2/examinations/new/", typed | {"n1_picture": str(shot.uid), "note": "dull light"}
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'href="#id_n1_position"' in page
    assert "4000, 3 is outside the picture, which is 400 pixels wide" in page
    assert "dull light" in page
    assert not Examination.objects.exists()


def test_what_is_kept_unsigned_is_finished_later(ottilie: Client) -> None:
    builders.cast("2014.2")
    kept = ottilie.post("/casts/2014.2/examinations/new/", {"reason": "routine", "n1_kind": "chip", "then": "draft"})
    draft = Examination.objects.get()
    assert (kept["Location"], draft.signed) == (draft.href, False)
    page = ottilie.get(f"{draft.href}change/").content.decode()
    assert '<option value="chip" selected>' in page
    typed = {"reason": "routine", "n1_kind": "chip", "grade": "good", "version": draft.version, "then": "sign"}
    assert ottilie.post(f"{draft.href}change/", typed).status_code == 302
    draft.refresh_from_db()
    assert draft.signed
    assert ottilie.get(f"{draft.href}change/").status_code == 409


def test_a_piece_is_examined_from_its_own_page(ottilie: Client) -> None:
    piece = builders.piece(builders.cast("2016.1"), "4")
    assert "examinations/new/?piece=4" in ottilie.get(piece.href).content.decode()
    lead = ottilie.get("/examinations/new/?of=2016.1.4&for=routine")
    assert lead["Location"] == "/casts/2016.1/examinations/new/?piece=4&for=routine"
    assert ottilie.post(lead["Location"], {"reason": "routine", "grade": "good"}).status_code == 302
    assert Examination.objects.get().piece == piece


def test_a_signed_one_is_put_right_by_a_newer_one(ottilie: Client) -> None:
    wrong = examined(builders.cast("2014.2"), new=(chip(),))
    finding = wrong.findings.get()
    at = f"/casts/2014.2/examinations/new/?instead_of={wrong.pk}"
    typed = {"reason": "routine", "grade": "fair", f"c{finding.pk}_verdict": "changed", f"c{finding.pk}_size_mm": "40"}
    assert ottilie.post(at, typed).status_code == 302
    assert "put right since" in ottilie.get(wrong.href).content.decode()


def test_the_lists_ask_as_often_for_thirty_as_for_three(ottilie: Client) -> None:
    cast = builders.cast("2014.2")
    shot = picture(cast)

    def asked() -> list[int]:
        counts = []
        for at in ("/examinations/", "/casts/2014.2/examinations/", API, "/casts/2014.2/", "/today/"):
            with CaptureQueriesContext(connection) as seen:
                assert ottilie.get(at).status_code == 200
            counts.append(len(seen))
        return counts

    last = examined(cast, on=ago(90), new=(chip(shot),))
    for n in range(2):
        last = examined(cast, on=ago(80 - n), carried=answered(last), new=(chip(shot),))
    ottilie.get("/today/")
    few = asked()
    for n in range(9):
        last = examined(cast, on=ago(70 - n), carried=answered(last), new=(chip(shot),))
    assert asked() == few


def test_a_list_goes_out_as_a_spreadsheet(ottilie: Client) -> None:
    examined(builders.cast("2014.2"), new=(chip(),))
    answer = ottilie.get("/examinations/?format=csv&grade=fair")
    assert "2014.2" in b"".join(answer.streaming_content).decode()


# the report


def test_the_condition_report_shows_verdict_marks_and_blank_lines(ottilie: Client) -> None:
    pdfplumber = pytest.importorskip("pdfplumber")
    import io

    cast = builders.cast("2014.2")
    first = examined(cast, on=ago(60), new=(chip(picture(cast)),))
    look = examined(cast, reason="on departure", carried=answered(first), new=(chip(kind="crack", size_mm=41),))
    answer = ottilie.get(f"{look.href}papers/condition-report.pdf")
    assert answer["Content-Type"] == "application/pdf"
    body = b"".join(answer.streaming_content) if answer.streaming else answer.content
    with pdfplumber.open(io.BytesIO(body)) as pdf:
        text = "\n".join(p.extract_text() for p in pdf.pages)
        assert len(pdf.pages) <= 2
        assert pdf.pages[0].images
        front = pdf.pages[0].extract_text()
    assert "Fair: old damage, stable." in front
    assert "what is written here is what I saw" in front
    assert re.search(r"Crack, 41\s?mm", text)
    assert "2 (crack) is new" in " ".join(text.split())
    assert "Further openings" in text
    again = ottilie.get(f"{look.href}papers/condition-report.pdf")
    assert (b"".join(again.streaming_content) if again.streaming else again.content) == body


# the API


def test_the_api_writes_signs_and_says_an_examination(ottilie: Client) -> None:
    cast = builders.cast("2014.2")
    shot = picture(cast)
    mark = {"photograph": str(shot.uid), "shape": "point", "position": "20,30"}
    said = {
        "of": "2014.2",
        "reason": "before loan",
        "grade": "fair",
        "new": [{"kind": "chip", "size_mm": "4", "mark": mark}],
    }
    answer = posted(ottilie, said)
    assert answer.status_code == 201, answer.content
    body = answer.json()
    assert (body["state"], body["by"], body["findings"][0]["n"]) == ("signed", "Ottilie Brandt", 1)
    assert body["findings"][0]["mark"]["type"] == "Annotation"
    assert posted(ottilie, said).json() == body
    carried = [{"finding": body["findings"][0]["uid"], "verdict": "gone"}]
    later = posted(
        ottilie, {"of": "2014.2", "reason": "routine", "grade": "good", "carried": carried, "sign": False}, 2
    )
    assert later.json()["state"] == "draft"
    etag = {"If-Match": later["ETag"]}
    signed = ottilie.patch(
        later["Location"], json.dumps({"signed": True}), content_type="application/json", headers=etag
    )
    assert signed.json()["state"] == "signed"
    listed = ottilie.get(f"{API}?cast=2014.2&grade=good").json()["items"]
    assert [one["uid"] for one in listed] == [signed.json()["uid"]]


@pytest.mark.parametrize(
    ("more", "pointer"),
    [
        (
            {"new": [{"kind": "chip", "mark": {"photograph": "", "shape": "point", "position": "9000,1"}}]},
            "/new/0/mark/position",
        ),
        ({"grade": "good", "new": [{"kind": "chip", "grade": "poor"}]}, "/grade"),
        ({"on": "2099-01-01"}, "/on"),
        ({"reason": "for fun"}, "/reason"),
    ],
)
def test_what_is_wrong_is_a_problem_document_at_its_member(ottilie: Client, more: dict[str, Any], pointer: str) -> None:
    shot = picture(builders.cast("2014.2"))
    for new in more.get("new", []):
        if "mark" in new:
            new["mark"]["photograph"] = str(shot.uid)
    answer = posted(ottilie, {"of": "2014.2", "reason": "routine", "grade": "fair"} | more)
    assert answer.status_code == 422
    assert [e["pointer"] for e in answer.json()["errors"]] == [pointer]
    assert not Examination.objects.exists()


def test_what_a_phone_kept_without_signal_is_sent_once_and_was_looked_at_then(ottilie: Client) -> None:
    last = examined(builders.cast("2014.2"), on=ago(60), new=(chip(),))
    verdict = f"c{last.findings.get().pk}_verdict"
    form = {
        "of": "2014.2", "reason": "routine", "grade": "fair", verdict: "as it was", "then": "sign",
        "n1_kind": "scratch", "n1_picture": "", "made_at": f"{ago(2)}T09:00:00Z",
    }  # fmt: skip
    first, second = (ottilie.post(API, form, headers=key()) for _ in range(2))
    assert first.status_code == 201, first.content
    assert second.json() == first.json()
    assert Examination.objects.count() == 2
    assert first.json()["on"] == str(ago(2))
    unanswered = {n: v for n, v in form.items() if n != verdict}
    refused = ottilie.post(API, unanswered, headers=key(2))
    assert refused.status_code == 422


def test_a_press_with_nothing_typed_is_answered_with_what_is_wanted(ottilie: Client) -> None:
    cast = builders.cast("2014.2")
    shot = picture(cast)
    for at in ("/casts/2014.2/examinations/new/", "/examinations/new/", f"/photographs/{shot.uid}/marks/new/"):
        answer = ottilie.post(at, {})
        assert answer.status_code == 422, at
    assert not Examination.objects.exists()


def test_a_reader_reads_and_writes_nothing(client: Client) -> None:
    look = examined(builders.cast("2014.2"))
    lenno = builders.signed_in(client, "Lenno Haak")
    assert lenno.get(look.href).status_code == 200
    assert lenno.get("/casts/2014.2/examinations/new/").status_code == 403
    assert lenno.post(f"{look.href}sign/").status_code == 403
    assert "Examine it" not in lenno.get("/casts/2014.2/").content.decode()
