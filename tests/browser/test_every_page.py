"""Every page in a real browser: axe finds nothing, nothing runs inline, nothing is wider than the screen."""

from __future__ import annotations

import os
from typing import Any

import pytest
from django.test import Client

from catalog.ground.roles import ACTS, ANYONE
from tests import builders
from tests.doors import address_of, doors, samples
from tests.stories.demo import the_demo

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# no page of a person's: data, files, addresses that lead on, what ends the session
_NOT_PAGES = (
    "api/",
    "ok/",
    "sw.js",
    "q/",
    "Q/",
    "pieces/",
    "sign-out/",
    "me/csrf/",
    "me/data/",
    "find/suggest/",
    "scan/read/",
    "sign-in/passkey/",
)
_FILES = (".txt", ".json", "/original", ".pdf", ".jpg", "original", "/file", ".ics", ".csv", "jsonl")
# who looks, how wide, in which light
LOOKS = [
    ("Imke Roodenburg", "registrar", 360, "light"),
    ("Imke Roodenburg", "registrar", 1280, "dark"),
    ("Tobias Wren", "keeper", 360, "light"),
    ("Lenno Haak", "reader", 360, "light"),
    (None, None, 360, "light"),
    (None, None, 1280, "dark"),
]


def _pages(role: str | None) -> list[str]:
    known = samples()
    found = []
    for door in doors():
        act = door.acts.get("GET")
        if act is None or door.api or door.route.startswith(_NOT_PAGES) or any(f in door.route for f in _FILES):
            continue
        if (role and role in ACTS[act]) or ANYONE in ACTS[act]:
            found.append(address_of(door, known))
    return found


def _context(browser: Any, server: Any, who: str | None, width: int, scheme: str) -> Any:
    context = browser.new_context(
        viewport={"width": width, "height": 6000}, color_scheme=scheme, service_workers="block"
    )
    if who:
        client = builders.signed_in(Client(), who)
        context.add_cookies([{"name": "session", "value": client.cookies["session"].value, "url": server.url}])
    return context


def test_axe_finds_nothing_on_any_page(chromium: Any, live_server: Any) -> None:
    if not os.environ.get("UNDERCAST_WALK"):
        pytest.skip("this walk takes many minutes: UNDERCAST_WALK=1 takes it")
    from axe_playwright_python.sync_playwright import Axe

    the_demo()
    axe, wrong = Axe(), []
    for who, role, width, scheme in LOOKS:
        context = _context(chromium, live_server, who, width, scheme)
        page = context.new_page()
        said: list[str] = []
        page.on(
            "console",
            lambda m, said=said: said.append(m.text) if m.type == "error" and "Content Security" in m.text else None,
        )
        for address in _pages(role):
            answer = page.goto(live_server.url + address)
            where = f"{address} as {role or 'visitor'}, {width} {scheme}"
            if answer is None or answer.status >= 500:
                wrong.append(f"{where}: {answer.status if answer else 'no answer'}")
                continue
            if page.evaluate("document.documentElement.scrollWidth") > width:
                wrong.append(f"{where}: wider than the screen")
            found = axe.run(page, options={"runOnly": {"type": "tag", "values": _TAGS}})
            wrong += [f"{where}: {v['id']}: {v['nodes'][0]['html'][:110]}" for v in found.response["violations"]]
        wrong += [f"{role} {width}: {text[:160]}" for text in said]
        context.close()
    assert not wrong, "\n".join(wrong)
