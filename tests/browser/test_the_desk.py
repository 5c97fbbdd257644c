"""The desk by a real browser: its pages at two widths, light and dark; axe; one scan, one find, one draft on Today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.db import transaction
from django.utils import timezone

from catalog.casts import actions
from catalog.ground.acting import store
from tests import builders
from tests.registry.desk.makers_desk import described, determined, findable, place, published

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]

AXE = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
STAFF = [
    "/today/", "/today/?all=waits", "/find/", "/find/?q=2016.1", "/find/?q=colletis", "/find/?q=Nest+7", "/find/?q=willow",
    "/find/?q=2026.41", "/find/?q=zzyzx", "/find/?q=move+2016.1+to+B-3", "/scan/", "/q/Z-99/", "/outbox/", "/help/",
    "/help/keep-it-safe/", "/help/problems/stale/", "/api/", "/nothing-of-ours/",
]  # fmt: skip
VISITOR = ["/find/", "/find/?q=bee", "/find/?q=zzyzx", "/scan/", "/Q/2016.1", "/help/", "/api/", "/api/v1/docs/"]


@pytest.fixture
def station() -> None:
    """A few casts, a place, a person; enough determinations that Today is long."""
    builders.collection()
    for name in builders.PEOPLE:
        builders.actor(name)
    place("B-3", "Shelf three", kind="shelf")
    findable(builders.person("Jonna Beck", town="Fennevik"))
    builders.piece(
        described("2016.1", description="Plaster cast of a mud shrimp burrow", note="by the old willow"), "3"
    )
    dune = described("2011.3", description="Plaster cast of a nest in the dune", formers=("Nest 7",))
    published(determined(dune, "Colletes cunicularius", "dune bee"))
    for n in range(14, 29):
        cast = described(f"2026.{n}", description="Zinc cast of an ant nest")
        with transaction.atomic(), builders.by_hand():
            cast.year = 2026
            store(cast)
        actions.determine(builders.saar(), cast, words="an ant", ground="form of the nest")


@pytest.fixture
def at(live_server: Any) -> str:
    return str(live_server.url)


@pytest.fixture
def open_page(chromium: Any, at: str, client: Any) -> Iterator[Any]:
    """Opens a page as somebody (or nobody); whatever the content policy refuses or a script throws fails the test."""
    contexts, trouble = [], []

    def opened(name: str, width: int = 360, scheme: str = "light", **more: Any) -> Any:
        context = chromium.new_context(viewport={"width": width, "height": 780}, color_scheme=scheme, **more)
        contexts.append(context)
        if name:
            cookie = builders.signed_in(client, name).cookies["session"].value
            context.add_cookies([{"name": "session", "value": cookie, "url": at}])
        page = context.new_page()
        page.on("pageerror", lambda error: trouble.append(str(error)))
        page.on("console", lambda said: trouble.append(said.text) if "Content Security Policy" in said.text else None)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert trouble == []


@pytest.mark.parametrize("width, scheme", [(360, "light"), (1280, "dark")])
@pytest.mark.parametrize("name", ["Tobias Wren", ""])
def test_the_pages_read_well(open_page: Any, at: str, station: None, name: str, width: int, scheme: str) -> None:
    page = open_page(name, width, scheme, service_workers="block", bypass_csp=True)
    faults = []
    for address in STAFF if name else VISITOR:
        page.goto(at + address)
        page.wait_for_load_state("networkidle")
        if page.evaluate("document.documentElement.scrollWidth") > width:
            faults.append(f"{address} is wider than the screen")
        found = Axe().run(page, options=AXE).response["violations"]
        faults += [f"{address} {v['id']}: {[n['html'][:120] for n in v['nodes']][:3]}" for v in found]
    assert not faults, "\n".join(faults)


def test_enter_in_the_head_opens_the_cast(open_page: Any, at: str, station: None) -> None:
    page = open_page("Saar Osei", 1280)
    page.goto(f"{at}/today/")
    page.keyboard.press("/")
    page.keyboard.type("th 2016 1")
    page.keyboard.press("Enter")
    page.wait_for_url(f"{at}/casts/2016.1/")


def test_a_hand_scanner_opens_the_thing_from_the_scan_page(open_page: Any, at: str, station: None) -> None:
    page = open_page("Saar Osei", 360)
    page.goto(f"{at}/scan/")
    page.wait_for_load_state("networkidle")
    page.locator("#scanned").focus()
    page.keyboard.type("HTTPS://OLD.EXAMPLE/Q/2016.1.3", delay=1)
    page.keyboard.press("Enter")
    page.wait_for_url(f"{at}/casts/2016.1/3/")
    page.goto(f"{at}/scan/")
    assert page.get_by_text("Opened last by number").is_visible()


def test_what_was_left_in_pencil_stands_on_today(open_page: Any, at: str, station: None) -> None:
    page = open_page("Saar Osei", 1280)
    page.goto(f"{at}/casts/2016.1/change/")
    page.wait_for_load_state("networkidle")
    page.fill("[name=description]", "Plaster cast of a mud shrimp burrow, whole")
    page.wait_for_timeout(900)
    page.goto(f"{at}/today/")
    left = page.locator("[data-pencil-sheet]")
    left.wait_for(state="visible")
    left.get_by_role("link", name="Go on").click()
    page.wait_for_url(f"{at}/casts/2016.1/change/")


def test_the_api_can_be_tried_in_the_browser(open_page: Any, at: str, station: None) -> None:
    page = open_page("Saar Osei", 1280)
    page.goto(f"{at}/api/v1/docs/#get-casts-number")
    page.locator("#get-casts-number").get_by_role("button", name="Try it").click()
    page.fill("[name=address]", "/api/v1/casts/2016.1/")
    page.get_by_role("button", name="Ask").click()
    page.get_by_text("200 OK, ETag").wait_for()
    assert '"number": "2016.1"' in page.inner_text("[data-came]")
    page.fill("[name=address]", "https://elsewhere.example/api/v1/casts/")
    page.get_by_role("button", name="Ask").click()
    page.get_by_text("Write an address that begins with /api/v1/.").wait_for()


def test_the_day_is_said(open_page: Any, at: str, station: None) -> None:
    page = open_page("Imke Roodenburg", 360)
    page.goto(f"{at}/today/")
    assert str((timezone.now() + timedelta(hours=1)).year) in page.inner_text("main")
