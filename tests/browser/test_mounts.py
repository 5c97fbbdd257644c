"""A mount inspected on a phone of 360 px, one support after the other, also without signal; axe on every page of mounts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest

from registry.mounts.models import MountInspection
from tests import builders
from tests.browser import signal
from tests.registry.mounts.makers_mounts import TRAINED, anew, frame, looked, stands

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]
_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def loaded(**more: Any) -> Any:
    mount, _ = frame(**more)
    stands(mount, builders.cast("2011.3", mass_g=Decimal(40_000)))
    return mount


def screen(chromium: Any, at: str, client: Any, name: str, wide: int, scheme: str = "light") -> tuple[Any, list[str]]:
    builders.signed_in(client, name)
    look = {"width": wide, "height": 900 if wide > 500 else 740}
    context = chromium.new_context(viewport=look, service_workers="block", color_scheme=scheme)
    context.add_cookies([{"name": "session", "value": client.cookies["session"].value, "url": at}])
    page, trouble = context.new_page(), []
    page.on("pageerror", lambda error: trouble.append(str(error)))
    page.on("console", lambda said: trouble.append(said.text) if "Content Security Policy" in said.text else None)
    return page, trouble


@pytest.fixture
def hall(chromium: Any, at: str, client: Any) -> Iterator[Any]:
    """Ottilie's phone in the stair hall."""
    page, trouble = screen(chromium, at, client, "Ottilie Brandt", 360)
    yield page
    page.context.close()
    assert trouble == []


def judge(page: Any, number: str, word: str) -> None:
    page.locator(f"#id_state_{number}_group label", has_text=word).click()


def walk(page: Any) -> None:
    """Support by support to the last screen; nothing is chosen before a finger chose it."""
    for number in "1234":
        assert page.locator("[data-step]:visible").count() == 1
        assert page.locator("[data-step]:visible input:checked").count() == 0
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        judge(page, number, "To be watched" if number == "3" else "Sound")
        page.get_by_role("button", name="Go on").click()
    page.fill("#id_competence", TRAINED)


def test_a_mount_is_inspected_one_support_after_the_other(hall: Any, at: str) -> None:
    mount = loaded()
    hall.goto(f"{at}{mount.href}inspect/")
    walk(hall)
    hall.get_by_role("button", name="Back").click()
    assert "Support 4" in hall.locator("[data-step]:visible legend").first.inner_text()
    hall.get_by_role("button", name="Go on").click()
    hall.get_by_role("button", name="Write the inspection").click()
    hall.wait_for_url(f"{at}{mount.href}")
    assert "The inspection of F-1 is written." in hall.inner_text("main")
    assert [s.state for s in anew(mount).standing] == ["sound", "sound", "watch", "sound"]


def test_what_was_left_out_is_shown_where_it_is(hall: Any, at: str) -> None:
    mount = loaded()
    hall.goto(f"{at}{mount.href}inspect/")
    for _ in range(4):
        hall.get_by_role("button", name="Go on").click()
    hall.get_by_role("button", name="Write the inspection").click()
    hall.locator("#summary", has_text="Say how support 1 is.").wait_for()
    assert "Support 1" in hall.locator("[data-step]:visible legend").first.inner_text()
    assert not MountInspection.objects.exists()


def test_without_signal_it_is_kept_and_sent_once(hall: Any, at: str) -> None:
    mount = loaded()
    hall.goto(f"{at}{mount.href}inspect/")
    walk(hall)
    asked = signal.lost(hall)
    hall.locator("#acts button").click()
    signal.kept(hall, asked)
    assert not MountInspection.objects.exists()
    signal.found(hall)
    hall.goto(f"{at}/outbox/")
    hall.locator("[data-outbox-list] .word", has_text=re.compile("^sent$")).wait_for()
    row = MountInspection.objects.get()
    assert {f.support.number: f.state for f in row.found.all()} == {
        "1": "sound",
        "2": "sound",
        "3": "watch",
        "4": "sound",
    }


@pytest.mark.parametrize("wide, scheme", [(360, "light"), (1280, "dark")])
def test_axe_finds_nothing_on_any_page_of_mounts(chromium: Any, at: str, client: Any, wide: int, scheme: str) -> None:
    from axe_playwright_python.sync_playwright import Axe

    mount = loaded(capacity_n=390)
    looked(mount)
    done = looked(mount, _2="fail")
    page, trouble = screen(chromium, at, client, "Tobias Wren", wide, scheme)
    on = anew(mount).on_it[0].pk
    addresses = [
        "/mounts/",
        "/mounts/new/",
        "/inspections/new/",
        done.inspection.href,
        "/places/F-1/",
        "/casts/2011.3/",
    ]
    below = ["", "?without=1", "change/", "supports/new/", "supports/1/change/", "put-on/", "inspect/", "word/"]
    addresses += [mount.href + deed for deed in [*below, f"mounted/{on}/take-off/"]]
    wrong = []
    for address in addresses:
        page.goto(at + address)
        if page.evaluate("document.documentElement.scrollWidth") > wide:
            wrong.append(f"{address}: wider than the screen")
        found = Axe().run(page, options={"runOnly": {"type": "tag", "values": _TAGS}})
        wrong += [f"{address}: {v['id']} {v['nodes'][0]['html'][:120]}" for v in found.response["violations"]]
    page.context.close()
    assert wrong == []
    assert trouble == []
