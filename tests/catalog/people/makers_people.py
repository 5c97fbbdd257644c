"""Small makers for tests of people: a clean house, a walk through the welcome, whoever signs in."""

from __future__ import annotations

import re
from typing import Any

from catalog.ground.roles import HOUSE, Actor
from catalog.people import actions
from catalog.people.doorkeeper import actor_for
from catalog.people.models import Account
from catalog.people.said import InvitationSaid, OpeningSaid
from tests.builders import PASSWORD

STATION = "Tarn Holm dune and marsh station"


def opened(**more: Any) -> Actor:
    """The station's register, opened by Imke Roodenburg, who signs in with PASSWORD."""
    said = {
        "person": "Imke Roodenburg",
        "name": STATION,
        "code": "TH",
        "password": PASSWORD,
        "zone": "Europe/Amsterdam",
    }
    return actor_for(actions.open_collection(HOUSE, OpeningSaid(**(said | more))))


def come_in(by: Actor, name: str, role: str, *, email: str = "", password: str | None = PASSWORD) -> Actor:
    """Somebody invited by `by` who came in."""
    _, secret = actions.invite(by, InvitationSaid(name, role, email))
    return actor_for(actions.accept_invitation(HOUSE, secret, name, password))


def account_of(actor: Actor) -> Account:
    return Account.objects.get(pk=actor.account_id)


def sign_in(client: Any, name: str = "Imke Roodenburg", password: str = PASSWORD, **more: Any) -> Any:
    """Signs in as a person does, by the page."""
    return client.post("/sign-in/", {"name": name, "password": password}, **more)


def key_on(response: Any) -> str:
    """The hidden key of the form on a page."""
    found = re.search(r'name="key" value="([0-9a-f]+)"', response.content.decode())
    assert found, "the page has no form with a key"
    return found[1]


def link_on(response: Any) -> str:
    """The path of the link that a page shows once."""
    found = re.search(r'value="https?://[^/]+(/[^"]+)"', response.content.decode())
    assert found, "the page shows no link"
    return found[1]
