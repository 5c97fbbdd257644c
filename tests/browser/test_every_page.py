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
# every role at one width and in one light; the other widths and the dark as registrar and as visitor
_PEOPLE = {
    "registrar": "Imke Roodenburg",
    "keeper": "Tobias Wren",
    "technician": "Saar Osei",
    "preparator": "Ottilie Brandt",
    "reader": "Lenno Haak",
    "visitor": "",
}
_OTHER = [(360, "dark"), (1280, "light"), (1280, "dark")]
LOOKS = [(role, 360, "light") for role in _PEOPLE] + [(r, *look) for look in _OTHER for r in ("registrar", "visitor")]
# where two runs share the work (both databases are tested at once), one takes the roles, the other the widths and the dark
SHARE = os.environ.get("UNDERCAST_SHARE", "")
MINE = {"0": LOOKS[: len(_PEOPLE)], "1": LOOKS[len(_PEOPLE) :]}.get(SHARE, LOOKS)


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


def _context(browser: Any, server: Any, role: str, width: int, scheme: str) -> Any:
    # tall enough that the bar of acts, which stays in sight, lies over no field while axe looks
    context = browser.new_context(
        viewport={"width": width, "height": 6000}, color_scheme=scheme, service_workers="block"
    )
    if _PEOPLE[role]:
        client = builders.signed_in(Client(), _PEOPLE[role])
        context.add_cookies([{"name": "session", "value": client.cookies["session"].value, "url": server.url}])
    return context


def _same_for_all(markup: str, who: str) -> str:
    """A page without what differs by person or by asking: the head, the name, the keys that are used once."""
    bare = re.sub(r"<header.*?</header>|data-who=\"[^\"]*\"", "", markup.replace(who or "\0", ""), flags=re.DOTALL)
    return re.sub(r"[0-9a-f]{32}|[A-Za-z0-9]{64}", "", bare)


def _seen_wrong(axe: Any, page: Any, address: str, width: int, looked_at: set[tuple[Any, ...]], look: Any) -> list[str]:
    answer = page.goto(address)
    if answer is None or answer.status >= 500:
        return [str(answer.status if answer else "no answer")]
    role, *light = look
    page_as_it_is = (*light, _same_for_all(answer.text(), _PEOPLE[role]))
    if page_as_it_is in looked_at:  # word for word a page that another role was shown in this width and light
        return []
    looked_at.add(page_as_it_is)
    wrong = []
    if page.evaluate("document.documentElement.scrollWidth") > width:
        wrong.append("wider than the screen")
    found = axe.run(page, options=_AXE)
    return wrong + [f"{v['id']}: {v['nodes'][0]['html'][:110]}" for v in found.response["violations"]]


def test_axe_finds_nothing_on_any_page(chromium: Any, live_server: Any, settings: Any) -> None:
    from axe_playwright_python.sync_playwright import Axe

    settings.COUNT_KEPT_S = 600  # what waits for somebody is counted once, as in a house that serves
    the_demo()
    axe, wrong, looked_at = Axe(), [], set()
    for role, width, scheme in MINE:
        context = _context(chromium, live_server, role, width, scheme)
        page = context.new_page()
        page.on(
            "console",
            lambda m, w=wrong: w.append(m.text[:160]) if m.type == "error" and "Content Security" in m.text else None,
        )
        for address in _pages(role):
            found = _seen_wrong(axe, page, live_server.url + address, width, looked_at, (role, width, scheme))
            wrong += [f"{address} as {role}, {width} {scheme}: {what}" for what in found]
        context.close()
    assert not wrong, "\n".join(wrong)
