"""Every page in a real browser: axe finds nothing, nothing runs inline, nothing is wider than the screen."""

from __future__ import annotations

import os
import re
from typing import Any

import pytest
from django.test import Client

from catalog.ground.roles import ACTS, ANYONE
from tests import builders
from tests.doors import address_of, doors, samples
from tests.stories.demo import the_demo

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
_AXE = {"runOnly": {"type": "tag", "values": _TAGS}, "resultTypes": ["violations"]}
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
_FILES = (".txt", ".json", "/original", ".pdf", ".jpg", "original", "/file", "/since/", ".ics", ".csv", "jsonl")
# every role at one width in one light; the other width and the dark as registrar and as visitor
_PEOPLE = {
    "registrar": "Imke Roodenburg",
    "keeper": "Tobias Wren",
    "technician": "Saar Osei",
    "preparator": "Ottilie Brandt",
    "reader": "Lenno Haak",
    "visitor": "",
}
# what the dark can change is colour alone
_IN_THE_DARK = {
    "runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]},
    "resultTypes": ["violations"],
}
_WHOLE = ("registrar", "visitor")
# where two runs share the work (both databases are tested at once), each takes some of the roles
_SHARES = {"0": ["registrar", "keeper"], "1": ["visitor", "technician", "preparator", "reader"]}
ROLES = _SHARES.get(os.environ.get("UNDERCAST_SHARE", ""), list(_PEOPLE))


def _pages(role: str) -> list[str]:
    known = samples()
    found = []
    for door in doors():
        act = door.acts.get("GET")
        if act is None or door.api or door.route.startswith(_NOT_PAGES) or any(f in door.route for f in _FILES):
            continue
        if role in ACTS[act] or ANYONE in ACTS[act]:
            found.append(address_of(door, known))
    return found


def _context(browser: Any, server: Any, role: str) -> Any:
    # tall enough that the bar of acts, which stays in sight, lies over no field while axe looks
    context = browser.new_context(viewport={"width": 360, "height": 6000}, service_workers="block")
    context.route("**/photographs/*/*.jpg", lambda route: route.abort())  # axe reads what stands for a picture
    if _PEOPLE[role]:
        client = builders.signed_in(Client(), _PEOPLE[role])
        context.add_cookies([{"name": "session", "value": client.cookies["session"].value, "url": server.url}])
    return context


def _same_for_all(markup: str, who: str) -> str:
    """A page without what differs by person or by asking: the head, the name, the keys that are used once."""
    bare = re.sub(r"<header.*?</header>|data-who=\"[^\"]*\"", "", markup.replace(who or "\0", ""), flags=re.DOTALL)
    return re.sub(r"[0-9a-f]{32}|[A-Za-z0-9]{64}", "", bare)


def _seen_wrong(axe: Any, page: Any, address: str, role: str, looked_at: set[str]) -> list[str]:
    answer = page.goto(address)
    if answer is None or answer.status >= 500:
        return [str(answer.status if answer else "no answer")]
    markup = _same_for_all(answer.text(), _PEOPLE[role])
    if markup in looked_at:  # word for word a page that another role was shown
        return []
    looked_at.add(markup)
    wrong = _at_width(axe, page, 360, dark=role in _WHOLE)
    if role in _WHOLE:
        page.set_viewport_size({"width": 1280, "height": 6000})
        wrong += _at_width(axe, page, 1280, dark=True)
        page.set_viewport_size({"width": 360, "height": 6000})
    return wrong


def _at_width(axe: Any, page: Any, width: int, *, dark: bool) -> list[str]:
    wrong = [f"{width}: wider than the screen"] if page.evaluate("document.documentElement.scrollWidth") > width else []
    wrong += [f"{width} light: {said}" for said in _violations(axe, page, _AXE)]
    if dark:
        page.emulate_media(color_scheme="dark")
        wrong += [f"{width} dark: {said}" for said in _violations(axe, page, _IN_THE_DARK)]
        page.emulate_media(color_scheme="light")
    return wrong


def _violations(axe: Any, page: Any, options: dict[str, Any]) -> list[str]:
    return [f"{v['id']}: {v['nodes'][0]['html'][:110]}" for v in axe.run(page, options=options).response["violations"]]


def test_axe_finds_nothing_on_any_page(chromium: Any, live_server: Any, settings: Any) -> None:
    from axe_playwright_python.sync_playwright import Axe

    settings.COUNT_KEPT_S = 600  # what waits for somebody is counted once, as in a house that serves
    the_demo()
    axe, wrong, looked_at = Axe(), [], set()
    for role in ROLES:
        context = _context(chromium, live_server, role)
        page = context.new_page()
        page.emulate_media(color_scheme="light")
        page.on(
            "console",
            lambda m, w=wrong: w.append(m.text[:160]) if m.type == "error" and "Content Security" in m.text else None,
        )
        for address in _pages(role):
            found = _seen_wrong(axe, page, live_server.url + address, role, looked_at)
            wrong += [f"{address} as {role}, {what}" for what in found]
        context.close()
    assert not wrong, "\n".join(wrong)
