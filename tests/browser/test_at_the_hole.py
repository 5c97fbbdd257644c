"""At the hole, on a phone of 360 px: bags are tied by their scan, also without signal, and sent once."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import expect

from catalog.excavations.models import Bag, Lift
from tests.browser import signal
from tests.catalog.excavations import makers_digs as makers

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]


def write_lift(page: Any, dig: str) -> None:
    """By hand and by scanner: two labels of one bag, one of another."""
    page.fill("#id_excavation", dig)
    page.fill("#id_from_cm", "0")
    page.fill("#id_to_cm", "14")
    page.locator("#id_bags").focus()
    for scanned in ("HTTPS://TARNHOLM.EXAMPLE/Q/BAG-1", "BAG-1", "HTTPS://TARNHOLM.EXAMPLE/Q/BAG-2"):
        page.keyboard.type(scanned)
        page.keyboard.press("Enter")


def test_a_lift_without_signal_is_kept_and_sent_once_with_its_bags(phone: Any, at: str) -> None:
    makers.bags(2)
    dig = makers.dig()
    phone.goto(f"{at}/lifts/new/")
    asked = signal.lost(phone)
    write_lift(phone, dig.number)
    phone.get_by_role("button", name="Keep on this phone").press("Enter")
    signal.kept(phone, asked)
    assert not Lift.objects.exists()
    signal.found(phone)
    phone.goto(f"{at}/outbox/")
    phone.locator("[data-outbox-list] .word", has_text=re.compile("^sent$")).wait_for()
    lift = Lift.objects.get()
    assert (lift.excavation, lift.depths) == (dig, "0 to 14 cm")
    assert [b.code for b in lift.bags.order_by("pk")] == ["BAG-1", "BAG-2"]
    assert Bag.objects.get(code="BAG-1").tied_at < lift.created_at
    phone.reload()
    phone.wait_for_timeout(500)
    assert Lift.objects.count() == 1


def test_a_lift_with_signal_leads_to_its_dig(phone: Any, at: str) -> None:
    makers.bags(2)
    dig = makers.dig()
    phone.goto(f"{at}{dig.href}lifts/new/")
    assert phone.input_value("#id_excavation") == dig.number
    write_lift(phone, dig.number)
    phone.get_by_role("button", name="Write the lift").press("Enter")
    phone.wait_for_url(f"{at}{dig.href}")
    assert "Lift 1 of D-2025-1 is written." in phone.inner_text(".note.said")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360


def test_where_i_stand_brings_its_accuracy_along(phone: Any, at: str) -> None:
    dig = makers.dig()
    phone.context.grant_permissions(["geolocation"])
    phone.context.set_geolocation({"latitude": 54.35512, "longitude": 5.20678, "accuracy": 7.2})
    phone.goto(f"{at}{dig.href}place/")
    phone.get_by_role("button", name="Where I stand").click()
    expect(phone.locator("#id_where")).not_to_have_value("", timeout=15_000)
    assert (phone.input_value("#id_where"), phone.input_value("#id_within_m")) == ("54.355120 5.206780", "8")
    phone.get_by_role("button", name="Write the place").click()
    phone.wait_for_url(f"{at}{dig.href}")
    dig.refresh_from_db()
    assert str(dig.shown_lat) == "54.35000"
    assert dig.exact.stated_m == 8
