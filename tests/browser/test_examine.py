"""Examining on a phone of 360 px: a press marks the damage, keys do the same, no signal loses nothing, axe finds nothing."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from playwright.sync_api import expect

from catalog.casts.subject import Subject
from registry.condition.actions import examine
from registry.condition.models import Examination, Finding
from tests import builders
from tests.browser import signal
from tests.registry.condition.makers_examinations import ago, chip, picture, said

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]
_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def begin() -> Examination:
    """2014.2 with one finding of sixty days ago, marked on its photograph of 400 by 300 pixels."""
    cast = builders.cast("2014.2")
    return examine(builders.ottilie(), Subject(cast), said(on=ago(60), new=(chip(picture(cast)),)))


def press(page: Any, x: float, y: float) -> None:
    """On the picture, in shares of its width and height."""
    box = page.locator("[data-marks] img").bounding_box()
    page.locator("[data-marks]").click(position={"x": box["width"] * x, "y": box["height"] * y})


def near(said: str, x: int, y: int) -> bool:
    """Within two pixels of the original; a screen of 360 px shows 400 of them in fewer."""
    there = [int(n) for n in said.split(",")]
    return abs(there[0] - x) <= 2 and abs(there[1] - y) <= 2


def answer(page: Any) -> None:
    """Why, the finding of the last time, all in all."""
    page.select_option("#id_reason", "on return")
    page.get_by_label("As it was").check(force=True)
    page.get_by_label(re.compile("^Fair")).check(force=True)


def test_a_press_on_the_picture_marks_the_damage(phone: Any, at: str) -> None:
    from axe_playwright_python.sync_playwright import Axe

    begin()
    phone.goto(f"{at}/casts/2014.2/examinations/new/")
    answer(phone)
    press(phone, 0.25, 0.5)
    assert near(phone.input_value("#id_n1_position"), 100, 150)
    phone.get_by_role("button", name="Larger ring").click()
    assert int(phone.input_value("#id_n1_radius_px")) > 13
    phone.select_option("#id_n1_kind", "chip")
    found = Axe().run(phone, options={"runOnly": {"type": "tag", "values": _TAGS}})
    assert [v["id"] for v in found.response["violations"]] == []
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360
    phone.get_by_role("button", name="Sign", exact=True).press("Enter")
    phone.wait_for_url(re.compile(r"/examinations/\d+/$"))
    look = Examination.objects.latest("pk")
    new = look.findings.get(verdict="new")
    assert (look.signed, new.n) == (True, 2)
    assert near(new.mark.points, 100, 150)
    assert phone.locator("figure svg circle").count() >= 4
    found = Axe().run(phone, options={"runOnly": {"type": "tag", "values": _TAGS}})
    assert [v["id"] for v in found.response["violations"]] == []


def test_a_line_is_pressed_place_by_place_and_keys_do_the_same(phone: Any, at: str) -> None:
    begin()
    phone.goto(f"{at}/casts/2014.2/examinations/new/")
    phone.get_by_text("Something new", exact=True).click()
    phone.locator("#id_n1_shape").get_by_label("A line").check(force=True)
    press(phone, 0.5, 0.5)
    phone.locator("[data-marks]").press("ArrowRight")
    phone.locator("[data-marks]").press("Enter")
    points = phone.input_value("#id_n1_position").split()
    assert near(points[0], 200, 150)
    assert int(points[1].split(",")[0]) > 200
    phone.get_by_role("button", name="Take the last place back").click()
    assert phone.input_value("#id_n1_position") == points[0]


def test_what_was_typed_comes_back_when_the_phone_was_closed(phone: Any, at: str) -> None:
    begin()
    phone.goto(f"{at}/casts/2014.2/examinations/new/")
    answer(phone)
    press(phone, 0.25, 0.5)
    phone.wait_for_timeout(1500)  # kept on the phone 400 ms after the last touch
    phone.goto(f"{at}/examinations/")
    phone.goto(f"{at}/casts/2014.2/examinations/new/")
    expect(phone.locator("#id_n1_position")).not_to_have_value("", timeout=15_000)
    assert near(phone.input_value("#id_n1_position"), 100, 150)
    assert phone.input_value("#id_reason") == "on return"


def test_without_signal_it_is_kept_and_sent_once(phone: Any, at: str) -> None:
    begin()
    phone.goto(f"{at}/casts/2014.2/examinations/new/")
    asked = signal.lost(phone)
    answer(phone)
    press(phone, 0.25, 0.5)
    phone.select_option("#id_n1_kind", "scratch")
    phone.get_by_role("button", name="Keep on this phone").first.press("Enter")
    signal.kept(phone, asked)
    assert Examination.objects.count() == 1
    signal.found(phone)
    phone.goto(f"{at}/outbox/")
    phone.locator("[data-outbox-list] .word", has_text=re.compile("^sent$")).wait_for()
    look = Examination.objects.latest("pk")
    assert (Examination.objects.count(), look.signed, look.by.name) == (2, True, "Saar Osei")
    assert near(Finding.objects.get(examination=look, verdict="new").mark.points, 100, 150)


def test_the_script_of_marks_is_light() -> None:
    script = Path(settings.BASE) / "catalog/media/static/media/marks.js"
    assert script.stat().st_size < 8000
