"""A phone in the hand of somebody who is signed in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests import builders


@pytest.fixture
def at(live_server: Any) -> str:
    return str(live_server.url).replace("127.0.0.1", "localhost")


@pytest.fixture
def phone(chromium: Any, at: str, client: Any) -> Iterator[Any]:
    """A page of 360 px, signed in as Saar; whatever the content policy refuses, or a script throws, fails the test."""
    builders.signed_in(client, "Saar Osei")
    # the browser's own "offline" does not reach a service worker: without one, no signal is no signal
    context = chromium.new_context(viewport={"width": 360, "height": 740}, service_workers="block")
    context.add_cookies([{"name": "session", "value": client.cookies["session"].value, "url": at}])
    page, trouble = context.new_page(), []
    page.on("pageerror", lambda error: trouble.append(str(error)))
    page.on("console", lambda said: trouble.append(said.text) if "Content Security Policy" in said.text else None)
    yield page
    context.close()
    assert trouble == []
