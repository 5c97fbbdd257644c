"""The first start: nothing but the welcome, and that only by the printed link; one act opens the register."""

from __future__ import annotations

from io import StringIO
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client

from catalog.casts.numbers import check_pattern, give
from catalog.ground.collection import collection, today
from catalog.ground.numbers import last_number
from catalog.ground.refusal import Hindered, Refusal
from catalog.ground.roles import HOUSE
from catalog.people import actions, reads, rules
from catalog.people.models import Account, Person
from catalog.people.said import OpeningSaid
from tests.builders import PASSWORD
from tests.catalog.people.makers_people import STATION, opened
from tests.catalog.people.test_links import path_in

pytestmark = pytest.mark.django_db

YOU = {"person": "Imke Roodenburg", "email": "Imke@Station.example", "password": PASSWORD}
OURS = {"name": STATION, "code": "th"}
NUMBERS = {"pattern": "{year}.{n}", "last_on_paper": "14"}
DECIDES = {"zone": "Europe/Amsterdam", "currency": "eur", "alone": "yes", "witness": "", "checkpoint_mail": ""}


def started(client: Any) -> Any:
    """Opens the printed link and begins."""
    out = StringIO()
    call_command("start_link", stdout=out)
    assert client.post(path_in(out.getvalue()))["Location"] == "/welcome/"
    return client


def test_before_the_link_is_opened_every_page_says_so(client: Any) -> None:
    for address in ("/", "/sign-in/", "/today/", "/casts/2016.1/", "/welcome/", "/people/", "/nowhere/"):
        answer = client.get(address)
        assert answer.status_code == 503, address
        assert "This register is not open yet" in answer.content.decode()


def test_from_the_link_to_the_open_register(client: Any) -> None:
    started(client)
    assert client.get("/today/")["Location"] == "/welcome/"
    assert client.get("/welcome/open/")["Location"] == "/welcome/"
    assert client.post("/welcome/", YOU)["Location"] == "/welcome/collection/"
    assert client.post("/welcome/collection/", OURS)["Location"] == "/welcome/numbers/"
    assert client.post("/welcome/numbers/", NUMBERS)["Location"] == "/welcome/open/"
    last = client.get("/welcome/open/").content.decode()
    assert [f"{today().year}.{n}" in last for n in (15, 16, 17)] == [True] * 3
    assert client.post("/welcome/open/", DECIDES)["Location"] == "/today/"

    ours = collection()
    assert (ours.name, ours.code, ours.zone, ours.currency, ours.alone) == (
        STATION,
        "TH",
        "Europe/Amsterdam",
        "EUR",
        True,
    )
    account = Account.objects.get()
    assert reads.standing_roles(account) == ["registrar", "keeper"]
    assert account.email == "imke@station.example"
    assert account.check_password(PASSWORD)
    assert last_number(f"accession {today().year}") == 14
    assert reads.us().name == STATION
    assert client.get("/me/").status_code == 200
    assert client.get("/welcome/")["Location"] == "/sign-in/"


def test_one_who_is_not_alone_is_registrar_only(client: Any) -> None:
    started(client)
    for address, said in (("", YOU), ("collection/", OURS), ("numbers/", NUMBERS)):
        client.post(f"/welcome/{address}", said)
    client.post("/welcome/open/", DECIDES | {"alone": "no"})
    assert reads.standing_roles(Account.objects.get()) == ["registrar"]
    assert collection().alone is False


def test_each_screen_can_be_gone_back_to_without_loss(client: Any) -> None:
    started(client)
    client.post("/welcome/", YOU)
    client.post("/welcome/collection/", OURS)
    assert 'value="Imke Roodenburg"' in client.get("/welcome/").content.decode()
    again = {"person": "Imke R. Roodenburg", "email": "", "password": ""}
    assert client.post("/welcome/", again)["Location"] == "/welcome/collection/"
    assert 'value="TH"' in client.get("/welcome/collection/").content.decode()
    client.post("/welcome/numbers/", NUMBERS)
    client.post("/welcome/open/", DECIDES)
    account = Account.objects.get()
    assert account.name == "Imke R. Roodenburg"
    assert account.check_password(PASSWORD)


@pytest.mark.parametrize(
    "address, said, field",
    [
        ("/welcome/", YOU | {"password": "short"}, "password"),
        ("/welcome/", YOU | {"person": "///"}, "person"),
        ("/welcome/", YOU | {"password": "imke roodenburg"}, "password"),
        ("/welcome/collection/", OURS | {"code": "9"}, "code"),
        ("/welcome/collection/", OURS | {"code": "much too long a code"}, "code"),
        ("/welcome/collection/", OURS | {"name": ""}, "name"),
        ("/welcome/numbers/", NUMBERS | {"pattern": "{n}"}, "pattern"),
        ("/welcome/numbers/", NUMBERS | {"pattern": "{year}{n}"}, "pattern"),
        ("/welcome/numbers/", NUMBERS | {"pattern": "{year}/{n}"}, "pattern"),
        ("/welcome/numbers/", NUMBERS | {"pattern": "{year}.{n}x"}, "pattern"),
        ("/welcome/numbers/", NUMBERS | {"last_on_paper": "-3"}, "last_on_paper"),
        ("/welcome/numbers/", NUMBERS | {"last_on_paper": "fourteen"}, "last_on_paper"),
        ("/welcome/open/", DECIDES | {"zone": "Middle/Earth"}, "zone"),
        ("/welcome/open/", DECIDES | {"currency": "€"}, "currency"),
        ("/welcome/open/", DECIDES | {"alone": "no", "witness": "Jonna Beck"}, "witness"),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_nothing_is_written(
    client: Any, address: str, said: Any, field: str
) -> None:
    started(client)
    for before, facts in (("/welcome/", YOU), ("/welcome/collection/", OURS), ("/welcome/numbers/", NUMBERS)):
        if before == address:
            break
        client.post(before, facts)
    answer = client.post(address, said)
    assert answer.status_code == 422
    assert answer.context["form"].errors[field]
    assert not Account.objects.exists()


def test_the_password_is_not_in_the_session(client: Any) -> None:
    started(client)
    client.post("/welcome/", YOU)
    assert PASSWORD not in str(dict(client.session.items()))


def test_without_the_links_session_the_welcome_is_shut(client: Any) -> None:
    started(client)
    stranger = Client()
    assert stranger.get("/welcome/").status_code == 503
    assert stranger.post("/welcome/", YOU).status_code == 503
    assert stranger.post("/welcome/open/", DECIDES).status_code == 503
    assert not Account.objects.exists()


def test_the_register_is_opened_once() -> None:
    opened()
    with pytest.raises(Hindered, match="open already"):
        actions.open_collection(HOUSE, OpeningSaid(person="Saar Osei", name="Another", code="AN", password=PASSWORD))
    assert Person.objects.filter(kind="person").count() == 1


def test_what_was_used_on_paper_is_never_given_again() -> None:
    opened(last_on_paper=14)
    assert last_number(f"accession {today().year}") == 14


def test_a_wrong_opening_writes_nothing() -> None:
    with pytest.raises(Refusal) as refused:
        opened(zone="Middle/Earth", code="", pattern="{n}")
    assert {r.field for r in refused.value.reasons} == {"zone", "code", "pattern"}
    assert not Person.objects.exists()


@pytest.mark.parametrize("pattern", ["{year}.{n}", "TH-{year}-{n}", "{n}-{year}", "E-{year}-{n}", "C_{year}.{n}"])
def test_patterns_that_the_welcome_takes_are_those_that_casts_are_numbered_by(pattern: str) -> None:
    assert rules.hinders_pattern(pattern, "pattern", yearly=True) == []
    assert check_pattern(pattern) == []
    assert rules.examples(pattern, 2026, 14) == [give(pattern, 2026, n) for n in (15, 16, 17)]


@pytest.mark.parametrize(
    "pattern", ["", "{n}", "{year}", "{year}{n}", ".{year}.{n}", "{year} {n}", "{year}.{n}.", "ä{year}.{n}"]
)
def test_patterns_that_the_welcome_refuses(pattern: str) -> None:
    assert rules.hinders_pattern(pattern, "pattern", yearly=True)
