"""What every test stands on: a data folder of its own, the guards, a real server and a real browser where asked for."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

os.environ.setdefault(
    "DJANGO_ALLOW_ASYNC_UNSAFE", "true"
)  # the browser's driver runs an event loop in the test's thread


@pytest.fixture(autouse=True, scope="session")
def _guards_come_back() -> Iterator[None]:
    """Between transactional tests the tables are emptied, which the guards would refuse: they are lifted for it."""
    from django.test import TransactionTestCase

    from catalog.ground import guards

    emptied = TransactionTestCase._fixture_teardown

    def empty(self: Any) -> None:
        guards.lift()
        emptied(self)
        guards.place()

    TransactionTestCase._fixture_teardown = empty
    yield
    TransactionTestCase._fixture_teardown = emptied


@pytest.fixture
def data_folder(tmp_path: Path, settings: Any) -> Path:
    """An empty data folder of this test's own."""
    settings.DATA = tmp_path
    return tmp_path


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """Headless Chromium, where the machine has one."""
    import shutil

    path = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if not path:
        pytest.skip("Chromium is not on this machine")
    from playwright.sync_api import sync_playwright

    flags = [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--no-first-run",
    ]
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=flags)
        yield browser
        browser.close()
