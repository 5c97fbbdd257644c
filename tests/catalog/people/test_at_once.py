"""Two hands at one door: links burn once, wrong tries are all counted, and the last two heads do not take each other's role."""

from __future__ import annotations

import pytest

from catalog.ground.refusal import Refusal
from catalog.ground.roles import HOUSE
from catalog.people import actions, reads, slowing
from catalog.people.actions.failures import note_failure
from catalog.people.models import Account, Failure
from catalog.people.said import InvitationSaid
from tests import builders
from tests.builders import PASSWORD
from tests.catalog.people.makers_people import account_of, opened
from tests.harness.at_once import at_once

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_link_burns_once_under_eight_hands() -> None:
    _, secret = actions.print_link(HOUSE, "sign in", account_of(opened()))
    results = at_once([lambda: actions.use_link(HOUSE, secret)] * 8)
    assert sum(not isinstance(r, Refusal) for r in results) == 1


def test_an_invitation_lets_one_in_under_eight_hands() -> None:
    _, secret = actions.invite(opened(), InvitationSaid("Saar Osei", "technician"))
    deeds = [lambda n=n: actions.accept_invitation(HOUSE, secret, f"Saar {n}", PASSWORD) for n in range(8)]
    results = at_once(deeds)  # type: ignore[arg-type]
    assert sum(isinstance(r, Account) for r in results) == 1
    assert Account.objects.count() == 2


def test_two_registrars_do_not_take_each_others_role() -> None:
    imke = builders.imke()
    builders.account("Jonna Beck", "registrar")
    from catalog.people.doorkeeper import actor_for

    jonna = actor_for(Account.objects.get(name="Jonna Beck"))
    deeds = [
        lambda: actions.change_role(imke, jonna.account_id or 0, ["reader"]),
        lambda: actions.change_role(jonna, imke.account_id or 0, ["reader"]),
    ]
    results = at_once(deeds)
    assert sum(isinstance(r, Refusal) for r in results) == 1
    assert reads.first_registrar() is not None


def test_every_wrong_try_is_counted() -> None:
    account = account_of(builders.imke())
    corner = slowing.Corner(account, f"account {account.pk}", "192.0.2.0/24", False)
    counted = at_once([lambda: note_failure(corner)] * 8)
    assert sorted(counted) == list(range(1, 9))
    assert Failure.objects.get(pair=corner.pair).n == 8


def test_the_register_is_opened_once_by_two_hands() -> None:
    results = at_once([lambda: opened(), lambda: opened()])
    assert sum(isinstance(r, Refusal) for r in results) == 1
    assert Account.objects.count() == 1
