"""Coming in by a real browser: the first start on a phone, a passkey made and used, all under our content policy."""

from __future__ import annotations

from collections.abc import Iterator
from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command

from catalog.people.models import Account
from tests import builders
from tests.builders import PASSWORD
from tests.catalog.people.test_links import path_in

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]


@pytest.fixture
def phone(chromium: Any) -> Iterator[Any]:
    """A page of 360 px; whatever the content policy refuses, or a script throws, fails the test."""
    # a service worker that still fetches while a test clears the cookies would bring one back
    context = chromium.new_context(viewport={"width": 360, "height": 740}, service_workers="block")
    page, trouble = context.new_page(), []
    page.on("pageerror", lambda error: trouble.append(str(error)))
    page.on("console", lambda said: trouble.append(said.text) if "Content Security Policy" in said.text else None)
    yield page
    context.close()
    assert trouble == []


def no_wider(page: Any) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_the_first_start_on_a_phone(phone: Any, at: str) -> None:
    out = StringIO()
    call_command("start_link", stdout=out)
    phone.goto(f"{at}/today/")
    assert "not open yet" in phone.inner_text("h1")
    no_wider(phone)
    phone.goto(at + path_in(out.getvalue()))
    no_wider(phone)
    phone.click("text=Begin")
    phone.fill("[name=person]", "Imke Roodenburg")
    phone.fill("[name=password]", "short")
    phone.get_by_role("button", name="Next").click()
    assert "This password is too short" in phone.inner_text("#summary")
    assert phone.evaluate("document.activeElement.id") == "summary"
    assert phone.input_value("[name=person]") == "Imke Roodenburg"
    no_wider(phone)
    phone.fill("[name=password]", PASSWORD)
    phone.get_by_role("button", name="Next").click()
    phone.fill("[name=name]", "Tarn Holm dune and marsh station")
    phone.fill("[name=code]", "TH")
    no_wider(phone)
    phone.get_by_role("button", name="Next").click()
    phone.fill("[name=last_on_paper]", "14")
    no_wider(phone)
    phone.get_by_role("button", name="Next").click()
    no_wider(phone)
    phone.select_option("[name=zone]", "Europe/Amsterdam")
    phone.get_by_label("I am alone").check()
    phone.click("text=Open the register")
    phone.wait_for_url(f"{at}/today/")
    phone.goto(f"{at}/me/")
    assert "Imke Roodenburg" in phone.inner_text("h1")
    no_wider(phone)


def sign_in(page: Any, at: str, password: str = PASSWORD) -> None:
    page.goto(f"{at}/sign-in/?next=/me/")
    page.fill("[name=name]", "Imke Roodenburg")
    page.fill("[name=password]", password)
    page.click("button:has-text('Sign in')")


def authenticator(page: Any) -> Any:
    """A device of the browser's own that holds passkeys and knows its owner."""
    session = page.context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    options = {
        "protocol": "ctap2",
        "transport": "internal",
        "hasResidentKey": True,
        "hasUserVerification": True,
        "isUserVerified": True,
        "automaticPresenceSimulation": True,
    }
    added = session.send("WebAuthn.addVirtualAuthenticator", {"options": options})
    return session, added["authenticatorId"]


def with_passkey(page: Any, at: str) -> Any:
    builders.imke()
    device = authenticator(page)
    sign_in(page, at)
    page.wait_for_url(f"{at}/me/")
    page.goto(f"{at}/me/passkeys/new/")
    page.fill("#id_name", "My phone")
    page.click("text=Make the passkey")
    page.wait_for_url(f"{at}/me/second-factor/")
    assert "My phone" in page.inner_text("main")
    return device


def test_a_passkey_is_made_and_signs_in_alone(phone: Any, at: str) -> None:
    with_passkey(phone, at)
    phone.goto(f"{at}/sign-out/")
    phone.click("button:has-text('Sign out')")
    phone.wait_for_url("**/sign-in/**")
    phone.goto(f"{at}/sign-in/?next=/me/")
    phone.click("text=Use a passkey")
    phone.wait_for_url(f"{at}/me/")
    assert "1 passkey" in phone.inner_text("main") or "one passkey" in phone.inner_text("main")


def test_a_passkey_is_the_second_factor_of_a_password(phone: Any, at: str) -> None:
    with_passkey(phone, at)
    phone.context.clear_cookies()
    sign_in(phone, at)
    phone.wait_for_url(f"{at}/sign-in/second/")
    phone.click("text=Use a passkey")
    phone.wait_for_url(f"{at}/me/")


def test_a_passkey_proves_it_once_more(phone: Any, at: str) -> None:
    with_passkey(phone, at)
    phone.goto(f"{at}/sign-in/again/?next=/settings/change/")
    phone.click("text=Use a passkey")
    phone.wait_for_url(f"{at}/settings/change/")


def test_a_device_that_holds_none_says_so_and_the_password_still_serves(phone: Any, at: str) -> None:
    builders.imke()
    session, device = authenticator(phone)
    session.send("WebAuthn.setUserVerified", {"authenticatorId": device, "isUserVerified": False})
    phone.goto(f"{at}/sign-in/?next=/me/")
    phone.click("text=Use a passkey")
    phone.locator("[data-passkey-said]", has_text="gave no passkey").wait_for()
    sign_in(phone, at)
    phone.wait_for_url(f"{at}/me/")


def test_a_passkey_of_a_closed_account_opens_nothing(phone: Any, at: str) -> None:
    with_passkey(phone, at)
    phone.context.clear_cookies()
    Account.objects.update(is_active=False)
    phone.goto(f"{at}/sign-in/")
    phone.click("text=Use a passkey")
    phone.wait_for_url(f"{at}/sign-in/passkey/")
    assert "does not belong here" in phone.inner_text("#summary")


def test_where_a_browser_has_no_passkeys_none_is_offered(phone: Any, live_server: Any) -> None:
    builders.imke()
    phone.goto(f"{live_server.url.replace('localhost', '127.0.0.1')}/sign-in/")
    assert not phone.is_visible("text=Use a passkey")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_at_the_door(chromium: Any, at: str, scheme: str) -> None:
    from axe_playwright_python.sync_playwright import Axe

    builders.imke()
    builders.saar()
    # tall enough that the bar of acts, which stays in sight, lies over no field while axe looks
    page = chromium.new_page(viewport={"width": 360, "height": 3600}, color_scheme=scheme)
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
    found = {}
    for address in ("/sign-in/", "/sign-in/reset/", "/sign-out/", "/sign-in/link/none/"):
        page.goto(at + address)
        found[address] = [v["id"] for v in Axe().run(page, options={"runOnly": tags}).response["violations"]]
    sign_in(page, at)
    page.wait_for_url(f"{at}/me/")
    person = Account.objects.get(name="Saar Osei").person_id
    mine = [
        "/me/",
        "/me/password/",
        "/me/second-factor/",
        "/me/second-factor/app/",
        "/me/passkeys/new/",
        "/sign-in/again/",
    ]
    theirs = [f"/people/{person}/{deed}" for deed in ("", "change/", "role/", "leave/", "close/", "link/")]
    ours = ["/people/", "/people/new/", "/people/invite/", "/settings/", "/settings/change/", "/settings/tokens/"]
    for address in mine + theirs + ours:
        page.goto(at + address)
        found[address] = [v["id"] for v in Axe().run(page, options={"runOnly": tags}).response["violations"]]
    page.close()
    assert {a: v for a, v in found.items() if v} == {}
