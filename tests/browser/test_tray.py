"""A tray of several pieces by keyboard alone; a weight from the balance; without signal; on a phone; nothing for axe to find."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from catalog.casts.models import BreakFace, CrumbLot, Piece
from catalog.measurements.actions import keep_reading
from catalog.measurements.models import Measurement
from tests import builders
from tests.browser import signal
from tests.catalog.measurements.makers_measurements import bal_2
from tests.registry.places.test_trays import tray

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]


@pytest.fixture
def bench(chromium: Any, at: str, client: Any) -> Iterator[Any]:
    """The bench's screen, signed in as Saar; whatever the content policy refuses, or a script throws, fails the test."""
    builders.signed_in(client, "Saar Osei")
    context = chromium.new_context(viewport={"width": 1280, "height": 900}, service_workers="block")
    context.add_cookies([{"name": "session", "value": client.cookies["session"].value, "url": at}])
    page, trouble = context.new_page(), []
    page.on("pageerror", lambda error: trouble.append(str(error)))
    page.on("console", lambda said: trouble.append(said.text) if "Content Security Policy" in said.text else None)
    yield page
    context.close()
    assert trouble == []


def typed(page: Any, *keys: str) -> None:
    for key in keys:
        if len(key) > 1 and key.isascii() and re.fullmatch(r"[A-Z][A-Za-z+]+", key):
            page.keyboard.press(key)
        else:
            page.keyboard.type(key)


def kept(page: Any, n: int) -> None:
    """So many rows say when they were kept."""
    page.locator("td.col-kept", has_text=re.compile("typed|Bal-2|not weighed")).nth(n - 1).wait_for()


def axe(page: Any) -> None:
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def test_a_tray_is_listed_by_keyboard_alone(bench: Any, at: str) -> None:
    tray()
    bench.goto(f"{at}/trays/T-9/")
    typed(bench, "86.4", "Tab", "s", "Tab", "80-88", "Tab", "Tab", "+", "+", "Enter")
    # Enter went down in the same column: faces; back to the mass, part and depth as above
    typed(bench, "1", "Shift+Tab", "Shift+Tab", ".", "Shift+Tab", ".", "Shift+Tab", "97.5", "Enter")
    typed(bench, "112", "Control+Enter", "Enter")
    kept(bench, 3)
    rows = list(Piece.objects.order_by("sort"))
    assert [(p.suffix, p.mass_g) for p in rows] == [("1", Decimal("86.4")), ("2", Decimal("97.5")), ("3", Decimal(112))]
    assert {(p.kind, p.from_cm, p.to_cm) for p in rows} == {("shaft", Decimal(80), Decimal(88))}
    assert [BreakFace.objects.filter(piece=p).count() for p in rows] == [2, 1, 1]
    # a slip is typed over; what was typed and put back is not kept
    typed(bench, "ArrowUp", "113", "Enter")
    bench.locator("#said", has_text="3, 113 grams kept").wait_for(state="attached")
    typed(bench, "ArrowUp", "999", "Escape", "Escape")
    assert bench.evaluate("document.activeElement.id") == "sums"
    # the crumbs, by keyboard too
    bench.locator("tbody tr:last-child .go").focus()
    typed(bench, "Enter", "61.5", "c")
    assert bench.evaluate("document.activeElement.id") == "crumbs-n"
    typed(bench, "34", "Enter")
    bench.locator(".note", has_text="34 crumbs, 61.5").wait_for()
    assert CrumbLot.objects.get().n == 34
    assert Piece.objects.count() == 3
    assert Measurement.objects.filter(piece__suffix="3").count() == 2
    axe(bench)


def test_a_weight_from_the_balance_falls_into_the_row_that_waits(bench: Any, at: str) -> None:
    tray()
    balance = bal_2()
    bench.goto(f"{at}/trays/T-9/")
    bench.select_option("[data-balance]", "Bal-2")
    bench.locator("tr.at [name=mass_g]").focus() if bench.locator("tr.at").count() else bench.locator(
        "tbody tr:last-child .go"
    ).click()
    for n, mass in enumerate(("86.4", "97.5")):
        keep_reading(builders.saar(), balance, f"{n:06d}", Decimal(mass))
        kept(bench, n + 1)
    rows = Measurement.objects.order_by("pk")
    assert [(m.value, m.instrument, m.key) for m in rows] == [
        (Decimal("86.4"), balance, "000000"),
        (Decimal("97.5"), balance, "000001"),
    ]


def test_two_at_one_tray_see_each_others_rows(bench: Any, at: str) -> None:
    from tests.registry.places.test_trays import row

    it = tray()
    bench.goto(f"{at}/trays/T-9/")
    row(it, mass_g=Decimal("64.2"))
    bench.locator("td.col-mass_g", has_text="64.2").wait_for()
    typed(bench, "38.7", "Enter")
    kept(bench, 2)
    assert sorted(Piece.objects.values_list("suffix", flat=True)) == ["1", "2"]


def test_without_signal_rows_wait_on_the_device_and_are_sent_once(phone: Any, at: str) -> None:
    tray()
    phone.goto(f"{at}/trays/T-9/")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360
    signal.lost(phone)
    typed(phone, "86.4", "Enter", "97.5", "Enter")
    phone.locator("td.col-kept", has_text="on this device").nth(1).wait_for()
    assert not Piece.objects.exists()
    typed(phone, "11")  # half typed, and the phone is put away
    signal.found(phone)
    phone.goto(f"{at}/outbox/")
    phone.locator("[data-outbox-list] .word", has_text=re.compile("^sent$")).nth(1).wait_for()
    assert [p.mass_g for p in Piece.objects.order_by("sort")] == [Decimal("86.4"), Decimal("97.5")]
    phone.goto(f"{at}/trays/T-9/")
    assert phone.input_value("tr.at [name=mass_g]") == "11"
    phone.keyboard.press("Enter")
    kept(phone, 3)
    assert Piece.objects.count() == 3
    axe(phone)


def test_rows_pasted_from_a_spreadsheet_are_looked_at_first(bench: Any, at: str) -> None:
    tray()
    bench.goto(f"{at}/trays/T-9/")
    bench.evaluate(
        """() => {
        const carried = new DataTransfer();
        carried.setData("text", "mass\\tpart\\n86.4\\tshaft\\n9x\\tshaft");
        document.activeElement.dispatchEvent(new ClipboardEvent("paste", { clipboardData: carried, bubbles: true, cancelable: true }));
        }"""
    )
    bench.locator("#summary", has_text="Row 2, mass, g").wait_for()
    assert not Piece.objects.exists()
    axe(bench)
    bench.fill("#r1-mass_g", "97.5")
    bench.get_by_role("button", name="Keep these rows").press("Enter")
    bench.locator(".note", has_text="Two pieces kept in T-9.").wait_for()
    assert Piece.objects.count() == 2
