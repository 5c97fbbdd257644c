"""Wrong sign-ins are slowed, and nobody is locked out by others."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client
from django.utils import timezone

from catalog.people import rules
from catalog.people.models import Failure
from tests import builders
from tests.builders import PASSWORD
from tests.catalog.people.makers_people import sign_in

pytestmark = pytest.mark.django_db
OFFICE, ELSEWHERE = {"REMOTE_ADDR": "192.0.2.7"}, {"REMOTE_ADDR": "203.0.113.9"}


def wrong(client: Any, times: int, name: str = "Imke Roodenburg", **where: Any) -> Any:
    answer = None
    for _ in range(times):
        answer = sign_in(client, name, "not her password at all", **where)
    return answer


def test_waits_double_from_the_fifth_wrong_try_up_to_fifteen_minutes() -> None:
    """trust.md 5: after 5, doubling, up to 15 minutes."""
    assert [rules.wait_s(n) for n in range(1, 12)] == [0, 0, 0, 0, 30, 60, 120, 240, 480, 900, 900]


def test_five_wrong_tries_wait_half_a_minute_and_the_right_one_too(client: Any) -> None:
    builders.imke()
    answer = wrong(client, 4)
    assert answer.status_code == 422
    answer = wrong(client, 1)
    assert answer.status_code == 429
    assert answer["Retry-After"] == "30"
    assert "Wait 30 seconds; five wrong tries." in answer.content.decode()
    assert sign_in(client).status_code == 429
    with time_machine.travel(timezone.now() + timedelta(seconds=31)):
        assert sign_in(client).status_code == 302


def test_a_name_that_nobody_has_is_answered_in_the_same_words(client: Any) -> None:
    builders.imke()
    known, unknown = Client(), Client()
    with time_machine.travel(timezone.now(), tick=False):
        for _ in range(6):
            first = sign_in(known, "Imke Roodenburg", "not her password at all")
            second = sign_in(unknown, "Nobody At All", "not her password at all")
            assert first.status_code == second.status_code
            assert _words(first) == _words(second)


def _words(answer: Any) -> str:
    page = answer.content.decode()
    return str(page[page.index("<h1>") : page.index('name="csrfmiddlewaretoken"')])


def test_trying_the_name_and_the_address_in_turn_counts_as_one(client: Any) -> None:
    imke = builders.imke()
    builders.Account.objects.filter(pk=imke.account_id).update(email="imke@station.example")
    for n in range(5):
        answer = wrong(client, 1, "imke roodenburg" if n % 2 else "Imke@station.example")
    assert answer.status_code == 429


def test_a_good_sign_in_clears_its_own_corner_only(client: Any) -> None:
    builders.imke()
    wrong(client, 3, **OFFICE)
    wrong(client, 3, **ELSEWHERE)
    sign_in(client, **OFFICE)
    client.logout()
    assert wrong(Client(), 2, **ELSEWHERE).status_code == 429
    assert wrong(Client(), 2, **OFFICE).status_code == 422


def test_waiting_tries_do_not_make_the_wait_longer(client: Any) -> None:
    builders.imke()
    wrong(client, 25)
    assert Failure.objects.order_by("-n").first().n == 5  # type: ignore[union-attr]


def test_spite_does_not_lock_the_registrar_out(client: Any) -> None:
    """Somebody hammers her account from everywhere, her own network and workshop among them."""
    builders.imke()
    hers = Client()
    assert sign_in(hers, **OFFICE).status_code == 302  # her device is known from now on
    hers.post("/sign-out/")
    for n in range(70):
        sign_in(Client(), "Imke Roodenburg", "spite and more spite", REMOTE_ADDR=f"198.51.{n}.1")
    for n in range(70):
        sign_in(Client(), f"Anybody {n}", "spite and more spite", **OFFICE)
    for _ in range(10):
        sign_in(Client(), "Imke Roodenburg", "spite and more spite", **OFFICE)
    assert sign_in(Client(), **OFFICE).status_code == 429
    assert sign_in(hers, **OFFICE).status_code == 302


def test_on_a_new_device_she_waits_half_a_minute_and_no_more() -> None:
    builders.imke()
    with time_machine.travel(timezone.now(), tick=False) as clock:
        for n in range(31):
            sign_in(Client(), "Imke Roodenburg", "spite and more spite", REMOTE_ADDR=f"198.51.{n}.1")
        assert sign_in(Client(), **OFFICE).status_code == 429
        clock.shift(31)
        assert sign_in(Client(), **OFFICE).status_code == 302


def test_sixty_wrong_tries_close_a_network_for_the_hour(client: Any) -> None:
    builders.imke()
    with time_machine.travel(timezone.now(), tick=False) as clock:
        for n in range(60):
            sign_in(Client(), f"Anybody {n}", "guess after guess", **ELSEWHERE)
        refused = sign_in(Client(), "Anybody new", "guess after guess", **ELSEWHERE)
        assert refused.status_code == 429
        assert sign_in(Client(), **OFFICE).status_code == 302
        clock.shift(timedelta(hours=1, seconds=1))
        assert sign_in(Client(), **ELSEWHERE).status_code == 302


def test_corners_are_kept_without_names_or_addresses(client: Any) -> None:
    builders.imke()
    wrong(client, 2, **ELSEWHERE)
    kept = " ".join(Failure.objects.values_list("pair", flat=True))
    assert "203.0.113" not in kept
    assert "imke" not in kept.lower()


def test_one_hashing_for_every_name(client: Any, monkeypatch: Any, settings: Any) -> None:
    """As many hashings for a name that exists, by name or address, as for one that does not, so that time tells nothing."""
    from django.contrib.auth.hashers import MD5PasswordHasher

    imke = builders.imke()
    builders.Account.objects.filter(pk=imke.account_id).update(email="imke@station.example")
    done: list[int] = []
    plain = MD5PasswordHasher.encode
    monkeypatch.setattr(MD5PasswordHasher, "encode", lambda self, *a, **k: done.append(1) or plain(self, *a, **k))
    counts = []
    for name in ("Imke Roodenburg", "imke@station.example", "Nobody At All", "nobody@station.example"):
        done.clear()
        sign_in(Client(), name, "not her password at all")
        counts.append(len(done))
    assert counts == [1, 1, 1, 1]


def test_the_real_hasher_is_scrypt() -> None:
    """The tests hash quickly; a house does not (RFC 7914, N 2^14, r 8, p 5: trust.md 5)."""
    from pathlib import Path

    from django.contrib.auth.hashers import ScryptPasswordHasher

    assert (
        "ScryptPasswordHasher" in Path("deploy/settings.py").read_text().split("PASSWORD_HASHERS = [")[1].split("]")[0]
    )
    hasher = ScryptPasswordHasher()
    assert (hasher.work_factor, hasher.block_size, hasher.parallelism) == (2**14, 8, 5)


def test_only_a_path_of_this_house_is_led_to(client: Any) -> None:
    builders.imke()
    there = {"name": "Imke Roodenburg", "password": PASSWORD}
    assert client.post("/sign-in/", there | {"next": "/casts/2016.1/"})["Location"] == "/casts/2016.1/"
    for bad in ("https://elsewhere.example/", "//elsewhere.example/", "/\\elsewhere.example", "javascript:alert(1)"):
        client.logout()
        assert client.post("/sign-in/", there | {"next": bad})["Location"] == "/today/"
