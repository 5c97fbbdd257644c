"""The second factor: set up, asked for, its codes used once, its wrong tries slowed."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import format_hotp_value, hotp_value
from django.test import Client
from django.utils import timezone

from catalog.ground.refusal import Hindered
from catalog.ground.roles import HOUSE
from catalog.people import actions
from catalog.people.models import Account
from tests import builders
from tests.builders import PASSWORD
from tests.catalog.people.makers_people import account_of, key_on, sign_in

pytestmark = pytest.mark.django_db


def code_at(secret: str, at: Any) -> str:
    return format_hotp_value(hotp_value(secret, int(at.timestamp()) // 30))


def secret_on(page: Any) -> str:
    found = re.search(r"data-secret>([A-Z2-7 ]+)</span>", page.content.decode())
    assert found
    return found[1].replace(" ", "")


def with_app(client: Any, clock: Any) -> str:
    """Imke adds an authenticator app by the pages; returns its secret."""
    builders.imke()
    sign_in(client)
    secret = secret_on(client.get("/me/second-factor/app/"))
    answer = client.post("/me/second-factor/app/", {"code": code_at(secret, timezone.now())})
    assert answer["Location"] == "/me/second-factor/"
    client.post("/sign-out/")
    clock.shift(60)
    return secret


def test_an_app_is_added_only_with_the_code_it_shows(client: Any) -> None:
    builders.imke()
    sign_in(client)
    page = client.get("/me/second-factor/app/")
    assert "<svg" in page.content.decode()
    assert client.post("/me/second-factor/app/", {"code": "000000"}).status_code == 422
    assert secret_on(client.get("/me/second-factor/app/")) == secret_on(page)
    assert not Authenticator.objects.exists()


def test_its_secret_lies_in_no_table_in_the_clear(client: Any) -> None:
    with time_machine.travel(timezone.now(), tick=False) as clock:
        secret = with_app(client, clock)
        assert secret not in str(list(Authenticator.objects.values_list("data", flat=True)))
        assert secret not in str(dict(client.session.items()))


def test_the_password_alone_does_not_sign_in(client: Any) -> None:
    with time_machine.travel(timezone.now(), tick=False) as clock:
        secret = with_app(client, clock)
        assert sign_in(client)["Location"] == "/sign-in/second/"
        assert client.get("/me/").status_code == 302
        assert client.post("/sign-in/second/", {"code": "000000"}).status_code == 422
        answer = client.post("/sign-in/second/", {"code": code_at(secret, timezone.now())})
        assert answer["Location"] == "/today/"
        assert client.get("/me/").status_code == 200


def test_one_comes_to_where_one_wanted_through_the_second_factor(client: Any) -> None:
    with time_machine.travel(timezone.now(), tick=False) as clock:
        secret = with_app(client, clock)
        client.post("/sign-in/", {"name": "Imke Roodenburg", "password": PASSWORD, "next": "/people/"})
        answer = client.post("/sign-in/second/", {"code": code_at(secret, timezone.now())})
        assert answer["Location"] == "/people/"


def test_a_code_opens_once(client: Any) -> None:
    with time_machine.travel(timezone.now(), tick=False) as clock:
        secret = with_app(client, clock)
        code = code_at(secret, timezone.now())
        sign_in(client)
        assert client.post("/sign-in/second/", {"code": code}).status_code == 302
        clock.shift(30)  # still within its tolerance
        other = Client()
        sign_in(other)
        assert other.post("/sign-in/second/", {"code": code}).status_code == 422
        assert other.post("/sign-in/second/", {"code": code_at(secret, timezone.now())}).status_code == 302


def test_wrong_codes_wait_as_wrong_passwords_do(client: Any) -> None:
    with time_machine.travel(timezone.now(), tick=False) as clock:
        secret = with_app(client, clock)
        sign_in(client)
        answers = [client.post("/sign-in/second/", {"code": f"{n:06d}"}).status_code for n in range(5)]
        assert answers == [422] * 4 + [429]
        assert client.post("/sign-in/second/", {"code": code_at(secret, timezone.now())}).status_code == 429
        clock.shift(31)
        assert client.post("/sign-in/second/", {"code": code_at(secret, timezone.now())}).status_code == 302


def test_without_the_password_there_is_no_second_page(client: Any) -> None:
    builders.imke()
    assert client.get("/sign-in/second/")["Location"] == "/sign-in/"
    assert client.post("/sign-in/second/", {"code": "123456"})["Location"] == "/sign-in/"


def test_eight_recovery_codes_are_shown_once_and_open_once_each(client: Any) -> None:
    with time_machine.travel(timezone.now(), tick=False) as clock:
        secret = with_app(client, clock)
        sign_in(client)
        client.post("/sign-in/second/", {"code": code_at(secret, timezone.now())})
        said = {"key": key_on(client.get("/me/second-factor/"))}
        shown = client.post("/me/second-factor/", said)
        codes = re.findall(r'<span class="fig">(\d{8})</span>', shown.content.decode())
        assert len(set(codes)) == 8
        assert shown["Cache-Control"] == "no-store"
        assert client.post("/me/second-factor/", said).status_code == 302
        assert codes[0] not in client.get("/me/second-factor/").content.decode()
        client.post("/sign-out/")
        for code, answer in ((codes[0], 302), (codes[0], 422), (codes[7], 302)):
            other = Client()
            sign_in(other)
            assert other.post("/sign-in/second/", {"code": code}).status_code == answer


def test_a_link_asks_for_the_second_factor_too(client: Any) -> None:
    with time_machine.travel(timezone.now(), tick=False) as clock:
        secret = with_app(client, clock)
        imke = Account.objects.get(name="Imke Roodenburg")
        _, link = actions.print_link(HOUSE, "sign in", imke)
        assert client.post(f"/sign-in/link/{link}/")["Location"] == "/sign-in/second/"
        assert client.post("/sign-in/second/", {"code": code_at(secret, timezone.now())}).status_code == 302


def test_the_last_factor_takes_its_recovery_codes_along(client: Any) -> None:
    with time_machine.travel(timezone.now(), tick=False) as clock:
        secret = with_app(client, clock)
        sign_in(client)
        client.post("/sign-in/second/", {"code": code_at(secret, timezone.now())})
        client.post("/me/second-factor/", {"key": key_on(client.get("/me/second-factor/"))})
        app = Authenticator.objects.get(type="totp")
        assert client.post(f"/me/second-factor/{app.pk}/end/").status_code == 302
        assert not Authenticator.objects.exists()


def test_nobody_takes_off_the_factor_of_somebody_else(client: Any) -> None:
    with time_machine.travel(timezone.now(), tick=False) as clock:
        with_app(client, clock)
        builders.signed_in(client, "Saar Osei")
        app = Authenticator.objects.get()
        assert client.post(f"/me/second-factor/{app.pk}/end/").status_code == 404
        assert Authenticator.objects.exists()


def test_recovery_codes_stand_in_for_something() -> None:
    with pytest.raises(Hindered, match="Add one first"):
        actions.new_codes(builders.imke())


def test_before_setting_one_up_the_password_is_asked_for(client: Any) -> None:
    with time_machine.travel(timezone.now(), tick=False) as clock:
        builders.imke()
        sign_in(client)
        assert client.get("/me/second-factor/").status_code == 200
        clock.shift(timedelta(minutes=6))
        assert client.get("/me/second-factor/")["Location"] == "/sign-in/again/?next=%2Fme%2Fsecond-factor%2F"
        assert client.post("/sign-in/again/", {"password": "not it at all", "next": "/me/"}).status_code == 422
        again = client.post("/sign-in/again/", {"password": PASSWORD, "next": "/me/second-factor/"})
        assert again["Location"] == "/me/second-factor/"
        assert client.get("/me/second-factor/").status_code == 200


def test_where_it_is_demanded_registrar_and_keeper_have_no_rights_without_it(client: Any) -> None:
    from catalog.ground.collection import collection
    from catalog.people.doorkeeper import actor_for
    from tests.builders import by_hand, store

    imke = builders.imke()
    ours = collection()
    ours.second_factor_for_heads = True
    with by_hand():
        store(ours)
    assert actor_for(account_of(imke)).roles == {"reader"}
    sign_in(client)
    assert "A second factor is asked of you here" in client.get("/me/").content.decode()
    assert client.get("/people/invite/").status_code == 403
    actions.add_app(actor_for(account_of(imke)), "JBSWY3DPEHPK3PXP", 1)
    assert actor_for(account_of(imke)).roles == {"registrar"}


def test_who_lost_phone_and_codes_is_let_in_by_who_sits_at_the_machine(client: Any) -> None:
    from tests.catalog.people.test_links import path_in, said_by

    with time_machine.travel(timezone.now(), tick=False) as clock:
        with_app(client, clock)
        path = path_in(said_by("sign_in_link", "Imke Roodenburg", "--second-factor-lost"))
        assert client.post(path)["Location"] == "/today/"
        assert not Authenticator.objects.exists()
