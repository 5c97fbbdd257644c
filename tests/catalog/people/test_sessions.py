"""Sessions: listed, ended, over after their time, worthless to who reads the table."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.contrib.sessions.models import Session
from django.test import Client
from django.utils import timezone

from catalog.ground.roles import HOUSE
from catalog.people import actions
from catalog.people.models import KnownDevice, Visit
from catalog.people.visiting import device_words
from tests import builders
from tests.builders import PASSWORD
from tests.catalog.people.makers_people import sign_in

pytestmark = pytest.mark.django_db
PHONE = "Mozilla/5.0 (Linux; Android 15; Pixel 9) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/141.0.0.0 Mobile Safari/537.36"


def two_devices() -> tuple[Client, Client]:
    builders.imke()
    here, phone = Client(), Client(headers={"user-agent": PHONE})
    sign_in(here)
    sign_in(phone)
    return here, phone


def test_the_page_names_each_session_with_its_device() -> None:
    here, _ = two_devices()
    page = here.get("/me/").content.decode()
    assert "Chrome on an Android device" in page
    assert page.count("End session") == 1


def test_one_session_is_ended_from_another_device() -> None:
    here, phone = two_devices()
    assert phone.get("/me/").status_code == 200
    other = Visit.objects.get(device="Chrome on an Android device")
    here.post(f"/me/sessions/{other.pk}/end/")
    assert phone.get("/me/").status_code == 302
    assert here.get("/me/").status_code == 200


def test_all_others_are_ended_at_one_press() -> None:
    here, phone = two_devices()
    here.post("/me/sessions/end/")
    assert phone.get("/me/").status_code == 302
    assert here.get("/me/").status_code == 200


def test_nobody_ends_a_session_of_somebody_else() -> None:
    two_devices()
    theirs = Client()
    builders.saar()
    sign_in(theirs, "Saar Osei")
    hers = Visit.objects.filter(account__name="Imke Roodenburg").first()
    assert theirs.post(f"/me/sessions/{hers.pk}/end/").status_code == 404  # type: ignore[union-attr]
    assert Visit.objects.filter(account__name="Imke Roodenburg").count() == 2


def test_a_new_password_ends_all_others_and_keeps_this_one() -> None:
    here, phone = two_devices()
    said = {"present": PASSWORD, "password": "another plaster and dune grass"}
    assert here.post("/me/password/", said)["Location"] == "/me/"
    assert here.get("/me/").status_code == 200
    assert phone.get("/me/").status_code == 302
    assert here.get("/me/").content.decode().count("last seen") == 1
    assert sign_in(Client()).status_code == 422


def test_the_present_password_is_asked_for_before_a_new_one() -> None:
    here, _ = two_devices()
    wrong = here.post("/me/password/", {"present": "not it at all", "password": "another plaster and dune grass"})
    assert wrong.status_code == 422
    assert sign_in(Client()).status_code == 302


def test_signing_in_and_proving_again_give_the_session_a_new_key(client: Any) -> None:
    builders.imke()
    client.get("/sign-in/passkey/")
    before = client.session.session_key
    sign_in(client)
    signed_in = client.session.session_key
    client.post("/sign-in/again/", {"password": PASSWORD, "next": "/me/"})
    proven = client.session.session_key
    assert len({before, signed_in, proven}) == 3
    assert client.get("/me/").status_code == 200
    assert Visit.objects.count() == 1


def test_who_reads_the_table_of_sessions_cannot_sit_down_there(client: Any) -> None:
    builders.imke()
    sign_in(client)
    row, cookie = Session.objects.get(), client.cookies["session"].value
    assert row.session_key != cookie
    assert Visit.objects.get().session_key == row.session_key
    thief = Client()
    thief.cookies["session"] = row.session_key
    assert thief.get("/me/").status_code == 302


def test_a_session_is_over_after_twelve_quiet_hours(client: Any) -> None:
    builders.imke()
    with time_machine.travel(timezone.now(), tick=False) as clock:
        sign_in(client)
        clock.shift(timedelta(hours=11))
        assert client.get("/me/").status_code == 200
        clock.shift(timedelta(hours=11))
        assert client.get("/me/").status_code == 200
        clock.shift(timedelta(hours=12, minutes=1))
        assert client.get("/me/").status_code == 302


def test_a_session_is_over_after_thirty_days_however_busy(client: Any) -> None:
    builders.imke()
    with time_machine.travel(timezone.now(), tick=False) as clock:
        sign_in(client)
        for _ in range(72):
            clock.shift(timedelta(hours=10))
            assert client.get("/me/").status_code == 200
        clock.shift(timedelta(hours=1))
        assert client.get("/me/").status_code == 302


def test_last_seen_is_written_every_five_minutes_at_most(client: Any, django_assert_num_queries: Any) -> None:
    builders.imke()
    with time_machine.travel(timezone.now(), tick=False) as clock:
        sign_in(client)
        begun = Visit.objects.get().last_seen_at
        clock.shift(120)
        client.get("/me/csrf/")
        assert Visit.objects.get().last_seen_at == begun
        clock.shift(240)
        client.get("/me/csrf/")
        assert Visit.objects.get().last_seen_at == begun + timedelta(seconds=360)


def test_going_out_ends_the_visit(client: Any) -> None:
    builders.imke()
    sign_in(client)
    assert client.get("/sign-out/").status_code == 200
    assert client.get("/me/").status_code == 200  # looking at the page ends nothing
    client.post("/sign-out/")
    assert not Visit.objects.exists()
    assert client.get("/me/").status_code == 302


def test_the_cookies_are_out_of_reach_of_scripts(client: Any) -> None:
    builders.imke()
    sign_in(client)
    for name in ("session", "known"):
        assert client.cookies[name]["httponly"]
        assert client.cookies[name]["samesite"] == "Lax"


def test_devices_are_told_apart_in_words() -> None:
    assert device_words(PHONE) == "Chrome on an Android device"
    assert device_words("Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0") == "Firefox on Linux"
    assert device_words("") == "A browser"


def test_what_is_over_is_forgotten(client: Any) -> None:
    builders.imke()
    with time_machine.travel(timezone.now(), tick=False) as clock:
        sign_in(client)
        sign_in(Client(), "Nobody At All", "guess after guess")
        clock.shift(timedelta(days=400))
        actions.forget_old(HOUSE)
    from catalog.people.models import Failure

    assert not Session.objects.exists()
    assert not Visit.objects.exists()
    assert not Failure.objects.exists()
    assert not KnownDevice.objects.exists()


def test_ones_own_data_come_in_one_file_without_secrets(client: Any) -> None:
    import io
    import json
    import zipfile

    builders.imke()
    sign_in(client)
    actions.issue_token(builders.imke(), called="The bench", scope="all")
    pack = zipfile.ZipFile(io.BytesIO(client.get("/me/data/").content))
    held = json.loads(pack.read("about-me.json"))
    assert held["person"]["name"] == "Imke Roodenburg"
    assert held["tokens"][0]["called"] == "The bench"
    assert "digest" not in held["tokens"][0]
    assert "password" not in held["account"]
    assert len(held["sessions"]) == 1


def test_the_outbox_gets_a_token_of_the_form_guard_only_when_signed_in(client: Any) -> None:
    builders.imke()
    assert client.get("/me/csrf/").status_code == 302
    sign_in(client)
    assert len(client.get("/me/csrf/").json()["token"]) == 64


def test_own_choices_are_kept_and_seen(client: Any) -> None:
    builders.imke()
    sign_in(client)
    said = {"email": "imke@station.example", "light": "light", "decimal": "comma", "keys": "off"}
    assert client.post("/me/", said).status_code == 302
    page = client.get("/me/").content.decode()
    assert "data-light" in page
    assert 'value="imke@station.example"' in page
    assert client.post("/me/", said | {"email": "not an address"}).status_code == 422


def test_single_keys_sleep_for_who_does_not_want_them(client: Any) -> None:
    builders.imke()
    sign_in(client)
    assert "data-keys-off" not in client.get("/me/").content.decode()
    client.post("/me/", {"email": "", "light": "device", "decimal": "collection", "keys": "off"})
    assert "data-keys-off" in client.get("/me/").content.decode()


def test_another_address_for_letters_asks_for_the_password_first(client: Any) -> None:
    """Who finds a session open cannot lead the letters elsewhere."""
    builders.imke()
    said = {"email": "thief@elsewhere.example", "light": "device", "decimal": "collection", "keys": "on"}
    with time_machine.travel(timezone.now(), tick=False) as clock:
        sign_in(client)
        clock.shift(timedelta(minutes=6))
        assert client.post("/me/", said)["Location"].startswith("/sign-in/again/")
        assert builders.Account.objects.get().email == ""
        client.post("/sign-in/again/", {"password": PASSWORD, "next": "/me/"})
        assert client.post("/me/", said)["Location"] == "/me/"
        assert builders.Account.objects.get().email == "thief@elsewhere.example"
