"""Marks on photographs: inside the picture, never moved, taken off with a reason, and W3C Web Annotations to everybody else."""

from __future__ import annotations

import json
import re
from typing import Any
from xml.etree import ElementTree

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from catalog.ground.refusal import Hindered, NotAllowed, Refusal
from catalog.media import actions, reads
from catalog.media.mark_drawing import Mark, overlay
from catalog.media.models import Annotation
from catalog.media.shapes import Shape, read_shape, wrong_in_shape
from catalog.media.web_annotation import selector
from tests import builders
from tests.catalog.media import makers_media as makers

pytestmark = pytest.mark.django_db
API = "/api/v1/annotations/"
# Web Annotation Vocabulary and Data Model, W3C Recommendations of 23 February 2017; the terms from memory
MOTIVATIONS = {
    "assessing", "bookmarking", "classifying", "commenting", "describing", "editing", "highlighting",
    "identifying", "linking", "moderating", "questioning", "replying", "tagging",
}  # fmt: skip
ANNOTATION = {"@context", "id", "type", "motivation", "created", "modified", "generated", "creator", "generator",
              "body", "bodyValue", "target", "rights", "canonical", "via", "audience", "stylesheet"}  # fmt: skip
TEXTUAL_BODY = {"id", "type", "value", "format", "language", "textDirection", "purpose", "creator", "created"}
SPECIFIC = {"id", "type", "source", "selector", "state", "purpose", "scope", "styleClass", "renderedVia"}
SELECTORS = {
    "FragmentSelector": {"type", "value", "conformsTo", "refinedBy"},
    "SvgSelector": {"type", "value", "id", "refinedBy"},
}


def photograph(**of: Any) -> Any:
    return makers.photograph(cast=of.pop("cast", None) or builders.cast("2014.2"), **of)


# in words


def test_a_mark_outside_the_picture_is_refused_and_named() -> None:
    shot = photograph()
    with pytest.raises(
        Refusal, match=rf"{shot.width_px + 9}, 10 is outside the picture, which is {shot.width_px} pixels"
    ):
        actions.mark(builders.saar(), shot, "point", f"{shot.width_px + 9}, 10")
    assert not Annotation.objects.exists()


@pytest.mark.parametrize(
    ("shape", "position", "sentence"),
    [
        ("point", "", "Write where it is on the picture"),
        ("point", "over there", "Write where it is on the picture"),
        ("point", "10", "The last one stands alone"),
        ("point", "10,10 20,20", "A point is one place"),
        ("line", "10,10", "A line is two places or more"),
        ("area", "10,10", "An area is two corners or more"),
        ("line", "10,10 10,10", "All its places are the same"),
        ("line", "10,10 -3,10", "-3, 10 is outside the picture"),
        ("cloud", "10,10", "A mark is a point, a line or an area"),
    ],
)
def test_what_cannot_be_marked_says_why(shape: str, position: str, sentence: str) -> None:
    assert sentence in wrong_in_shape(shape, position, None, width=400, height=300)[0].sentence


def test_a_picture_whose_size_nobody_knows_cannot_be_marked() -> None:
    assert "is not known" in wrong_in_shape("point", "1,1", None, width=None, height=None)[0].sentence


@given(st.integers(-50, 450), st.integers(-50, 350))
def test_a_place_is_taken_exactly_when_it_lies_on_the_picture(x: int, y: int) -> None:
    on_it = 0 <= x <= 400 and 0 <= y <= 300
    assert (not wrong_in_shape("point", f"{x}, {y}", None, width=400, height=300)) == on_it


# kept


def test_a_mark_is_never_moved_and_taken_off_with_its_reason() -> None:
    drawn = actions.mark(builders.saar(), photograph(), "line", "10, 10; 40,20", "hairline crack, 41 mm")
    assert (drawn.points, drawn.by.name) == ("10,10 40,20", "Saar Osei")
    drawn.points = "1,1 2,2"
    with pytest.raises(IntegrityError), transaction.atomic():
        Annotation.objects.filter(pk=drawn.pk).update(points="1,1 2,2")
    with pytest.raises(Refusal, match="Write why"):
        actions.unmark(builders.saar(), drawn.pk, " ")
    actions.unmark(builders.saar(), drawn.pk, "it was a hair on the lens")
    assert reads.marks_on(builders.saar(), drawn.photograph) == []
    with pytest.raises(Hindered):
        actions.unmark(builders.saar(), drawn.pk, "again")


def test_a_reader_draws_nothing() -> None:
    with pytest.raises(NotAllowed):
        actions.mark(builders.lenno(), photograph(), "point", "10,10")


def test_nothing_is_marked_on_a_photograph_that_was_taken_off() -> None:
    shot = photograph()
    gone = actions.withdraw_photograph(builders.saar(), shot.pk, "another cast")
    with pytest.raises(Hindered):
        actions.mark(builders.saar(), gone, "point", "10,10")


# drawn


def test_every_mark_has_a_white_casing_under_its_line_and_its_number_beside() -> None:
    shapes = [Shape("point", ((50, 50),), 9), Shape("line", ((1, 1), (9, 9))), Shape("area", ((1, 1), (90, 90)))]
    svg = overlay(
        [Mark(str(n), s, state) for n, (s, state) in enumerate(zip(shapes, ("", "before", "gone"), strict=True), 1)],
        400,
        300,
    )
    tree = ElementTree.fromstring(svg)
    assert tree.get("viewBox") == "0 0 400 300"
    groups = list(tree)
    for n, group in enumerate(groups, 1):
        casing, line, disc, number, *_ = list(group)
        assert (casing.get("stroke"), casing.tag) == ("#fff", line.tag)
        assert float(casing.get("stroke-width", 0)) > float(line.get("stroke-width", 0))
        assert number.text == str(n)
        assert 0 < float(disc.get("cx", 0)) < 400
        assert 0 < float(disc.get("cy", 0)) < 300
    assert list(groups[1])[1].get("stroke-dasharray")
    assert "style=" not in svg


# as W3C Web Annotation


def holds_to_the_vocabulary(said: dict[str, Any]) -> None:
    assert said["@context"] == "http://www.w3.org/ns/anno.jsonld"
    assert said["type"] == "Annotation"
    assert set(said) <= ANNOTATION
    assert said["motivation"] in MOTIVATIONS
    assert re.match(r"https?://", said["id"])
    if body := said.get("body"):
        assert body["type"] == "TextualBody"
        assert set(body) <= TEXTUAL_BODY
        assert body["purpose"] in MOTIVATIONS
    target = said["target"]
    assert target["type"] == "SpecificResource"
    assert set(target) <= SPECIFIC
    assert re.match(r"https?://", target["source"]["id"])
    chosen = target["selector"]
    assert set(chosen) <= SELECTORS[chosen["type"]]


def test_a_rectangle_is_a_media_fragment() -> None:
    """Media Fragments URI 1.0 (W3C 2012), 4.2.2: `xywh=160,120,320,240`, its own example."""
    drawn = read_shape("area", "160,120 480,360", None, width=640, height=480)
    assert selector(drawn, 640, 480) == {
        "type": "FragmentSelector",
        "conformsTo": "http://www.w3.org/TR/media-frags/",
        "value": "xywh=160,120,320,240",
    }


@pytest.mark.parametrize(("shape", "position"), [("point", "10,20"), ("line", "1,2 30,40"), ("area", "1,1 50,1 25,60")])
def test_every_other_shape_is_an_svg_in_pixels(shape: str, position: str) -> None:
    chosen = selector(read_shape(shape, position, None, width=400, height=300), 400, 300)
    assert chosen["type"] == "SvgSelector"
    tree = ElementTree.fromstring(chosen["value"])
    assert (tree.tag, tree.get("viewBox")) == ("{http://www.w3.org/2000/svg}svg", "0 0 400 300")


def test_the_api_takes_a_mark_and_gives_a_web_annotation(client: Client) -> None:
    shot = photograph()
    client = builders.signed_in(client, "Saar Osei")
    said = {"photograph": str(shot.uid), "shape": "area", "position": "10,20 50,60", "words": "chip"}
    key = {"Idempotency-Key": "a-mark-of-its-own-0001"}
    answer = client.post(API, json.dumps(said), content_type="application/json", headers=key)
    assert answer.status_code == 201, answer.content
    holds_to_the_vocabulary(answer.json())
    assert answer.json()["body"]["value"] == "chip"
    assert client.get(answer["Location"]).json() == answer.json()
    listed = client.get(f"{API}?cast=2014.2").json()["items"]
    assert [one["id"] for one in listed] == [answer.json()["id"]]
    etag = client.get(answer["Location"])["ETag"]
    because = json.dumps({"taken_off_because": "drawn twice"})
    assert client.patch(answer["Location"], because, content_type="application/json").status_code == 428
    gone = client.patch(answer["Location"], because, content_type="application/json", headers={"If-Match": etag})
    assert gone.status_code == 204
    assert client.get(answer["Location"]).status_code == 404


def test_a_mark_outside_the_picture_is_a_problem_document(client: Client) -> None:
    shot = photograph()
    client = builders.signed_in(client, "Saar Osei")
    said = {"photograph": str(shot.uid), "shape": "point", "position": "99999,20"}
    key = {"Idempotency-Key": "a-mark-of-its-own-0002"}
    answer = client.post(API, json.dumps(said), content_type="application/json", headers=key)
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["pointer"] == "/position"


def test_the_list_of_marks_asks_as_often_for_thirty_as_for_three(
    client: Client, django_assert_max_num_queries: Any
) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    shot = photograph()
    client = builders.signed_in(client, "Saar Osei")

    def asked() -> int:
        with CaptureQueriesContext(
            connection,
        ) as seen:
            assert client.get(API).status_code == 200
            assert client.get(f"/photographs/{shot.uid}/marks/").status_code == 200
        return len(seen)

    for n in range(3):
        actions.mark(builders.saar(), shot, "point", f"{n + 1},5")
    few = asked()
    for n in range(27):
        actions.mark(builders.saar(), shot, "point", f"{n + 1},9")
    assert asked() == few


# pages


def test_a_position_is_typed_without_script(client: Client) -> None:
    shot = photograph()
    client = builders.signed_in(client, "Saar Osei")
    at = f"/photographs/{shot.uid}/marks/new/"
    assert "data-mark-slot" in client.get(at).content.decode()
    wrong = client.post(at, {"shape": "point", "position": "99999, 3"})
    assert wrong.status_code == 422
    assert "outside the picture" in wrong.content.decode()
    kept = client.post(at, {"shape": "point", "position": "20, 30", "words": "chip"})
    assert kept.status_code == 302
    page = client.get(kept["Location"]).content.decode()
    assert "chip" in page
    assert "<circle" in page
    mark = Annotation.objects.get()
    off = client.post(f"/marks/{mark.pk}/take-off/", {"because": "dust", "version": mark.version})
    assert off.status_code == 302
