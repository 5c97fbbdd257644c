"""Moving by a scan on a phone of 360 px: by keyboard alone, one after the other, taken back, and without signal."""

from __future__ import annotations

import re
from typing import Any

import pytest

from registry.places.models import Movement, Placement
from tests import builders
from tests.browser import signal
from tests.registry.places.makers_places import put, tree

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]


def no_wider(page: Any) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def scan(page: Any, text: str) -> None:
    """A hand scanner is a keyboard that types faster than a person, and ends with Enter."""
    page.keyboard.type(text)
    page.keyboard.press("Enter")


def focus(page: Any) -> str:
    return str(page.evaluate("document.activeElement.id || document.activeElement.textContent.trim()"))


def test_two_scans_and_one_press_move_a_cast(phone: Any, at: str) -> None:
    places, cast = tree(), builders.cast()
    put(cast, places["B-3"], days_ago=2)
    phone.goto(f"{at}/movements/new/")
    assert focus(phone) == "id_what"
    scan(phone, "HTTPS://TARNHOLM.EXAMPLE/Q/2016.1")
    assert phone.input_value("#id_what") == "2016.1"
    assert focus(phone) == "id_to"
    phone.locator("#about", has_text="It is on shelf 3 in bay B.").wait_for()
    scan(phone, "HTTPS://TARNHOLM.EXAMPLE/Q/K-12")
    assert phone.input_value("#id_to") == "K-12"
    assert focus(phone) == "Move"
    no_wider(phone)
    phone.keyboard.press("Enter")
    phone.wait_for_url(f"{at}{cast.href}")
    assert "2016.1 is now in K-12." in phone.inner_text(".note.said")
    assert Placement.objects.get(cast=cast).place == places["K-12"]
    no_wider(phone)
    phone.locator(".note.said button", has_text="Undo").press("Enter")
    phone.locator(".note.said", has_text="Taken back. 2016.1 is now on shelf 3.").wait_for()
    assert Placement.objects.get(cast=cast).place == places["B-3"]


def test_ten_things_go_into_one_crate_with_one_scan_each(phone: Any, at: str) -> None:
    places = tree()
    casts = [builders.cast(f"2016.{n}") for n in range(1, 11)]
    phone.goto(f"{at}/movements/new/?to=K-12")
    for n, cast in enumerate(casts, 1):
        assert focus(phone) == "id_what"
        scan(phone, cast.number)
        phone.locator("form.undo p", has_text=f"{cast.number} is now in K-12.").wait_for()
        assert Movement.objects.count() == n
    no_wider(phone)
    assert Placement.objects.filter(place=places["K-12"]).count() == 10
    phone.locator("form.undo button").press("Enter")
    phone.locator(".note.said", has_text="Taken back").wait_for()
    assert Placement.objects.filter(place=places["K-12"]).count() == 9


def test_what_a_fragile_cast_asks_for_is_told_when_it_is_scanned(phone: Any, at: str) -> None:
    places = tree()
    put(builders.cast(fragile=True, handling="Under both ends."), places["B-3"])
    phone.goto(f"{at}/movements/new/")
    scan(phone, "2016.1")
    about = phone.locator("#about", has_text="2016.1 is fragile. Only a registrar, the keeper or a preparator")
    about.wait_for()
    assert "Under both ends." in about.inner_text()
    no_wider(phone)


def test_what_is_refused_is_focused_and_nothing_typed_is_lost(phone: Any, at: str) -> None:
    tree(), builders.cast()
    phone.goto(f"{at}/movements/new/?of=2016.1")
    assert focus(phone) == "id_to"
    phone.keyboard.type("Shelf 3", delay=60)
    phone.keyboard.press("Tab")
    phone.locator("#id_because").press_sequentially("packed for the open day")
    phone.get_by_role("button", name="Move", exact=True).press("Enter")
    phone.locator("#summary", has_text="Two places are called Shelf 3. Write A-3 or B-3.").wait_for()
    assert focus(phone) == "summary"
    assert phone.input_value("#id_because") == "packed for the open day"
    assert not Movement.objects.exists()


def test_a_move_without_signal_is_kept_and_sent_once(phone: Any, at: str) -> None:
    places, cast = tree(), builders.cast()
    piece = builders.piece(cast, "4")
    phone.goto(f"{at}/movements/new/?to=K-12")
    phone.fill("#id_because", "packed in the field")
    asked = signal.lost(phone)
    phone.locator("#id_what").focus()
    scan(phone, "2016.1.4")
    signal.kept(phone, asked)
    assert not Movement.objects.exists()
    signal.found(phone)
    phone.goto(f"{at}/outbox/")
    phone.locator("[data-outbox-list] .word", has_text=re.compile("^sent$")).wait_for()
    moved = Movement.objects.get()
    assert (moved.piece, moved.to_place, moved.because) == (piece, places["K-12"], "packed in the field")
    assert moved.by is not None
    assert moved.by.name == "Saar Osei"
    assert moved.at < moved.written_at
    phone.reload()
    phone.wait_for_timeout(500)
    assert Movement.objects.count() == 1
