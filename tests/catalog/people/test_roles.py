"""Who may come in, and as what: invitations, roles, leaves, closed accounts."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.utils import timezone

from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, NotAllowed, NotFound, Refusal
from catalog.ground.roles import HOUSE, may
from catalog.people import actions, reads
from catalog.people.doorkeeper import actor_for
from catalog.people.models import Account, Person, Role, Visit
from catalog.people.said import InvitationSaid
from tests import builders
from tests.builders import PASSWORD
from tests.catalog.people.makers_people import account_of, come_in, key_on, link_on, opened, sign_in

pytestmark = pytest.mark.django_db


# invitations


def test_who_is_invited_comes_in_once_with_the_role_that_was_fixed() -> None:
    imke = opened()
    made, secret = actions.invite(imke, InvitationSaid("Saar Osei", "technician", "saar@station.example"))
    account = actions.accept_invitation(HOUSE, secret, "Saar Osei", PASSWORD)
    assert reads.standing_roles(account) == ["technician"]
    assert account.email == "saar@station.example"
    assert account.roles_held.get().given_by_id == imke.account_id
    with pytest.raises(NotFound, match="used"):
        actions.accept_invitation(HOUSE, secret, "Somebody else", PASSWORD)
    made.refresh_from_db()
    assert made.used_at is not None


def test_an_invitation_is_over_after_seven_days() -> None:
    _, secret = actions.invite(opened(), InvitationSaid("Saar Osei", "technician"))
    with time_machine.travel(timezone.now() + timedelta(days=7, minutes=1)), pytest.raises(NotFound):
        actions.accept_invitation(HOUSE, secret, "Saar Osei", PASSWORD)


def test_an_invitation_that_was_taken_back_opens_nothing(client: Any) -> None:
    imke = opened()
    made, secret = actions.invite(imke, InvitationSaid("Saar Osei", "technician"))
    assert client.get(f"/invitation/{secret}/").status_code == 200
    actions.revoke_invitation(imke, made.pk)
    assert client.get(f"/invitation/{secret}/").status_code == 404


def test_a_technician_invites_nobody() -> None:
    with pytest.raises(NotAllowed, match="Only a registrar or the keeper"):
        actions.invite(builders.saar(), InvitationSaid("Jonna Beck", "reader"))


def test_a_person_on_record_comes_in_as_themselves() -> None:
    imke = opened()
    ottilie = builders.person("Ottilie Brandt")
    _, secret = actions.invite(imke, InvitationSaid("Ottilie Brandt", "preparator", person_pk=ottilie.pk))
    account = actions.accept_invitation(HOUSE, secret, "Ottilie Brandt", PASSWORD)
    assert account.person_id == ottilie.pk
    assert Person.objects.filter(name="Ottilie Brandt").count() == 1
    with pytest.raises(Hindered, match="can sign in already"):
        actions.invite(imke, InvitationSaid("Ottilie Brandt", "preparator", person_pk=ottilie.pk))


def test_two_people_do_not_sign_in_by_one_name() -> None:
    imke = opened()
    _, secret = actions.invite(imke, InvitationSaid("Imke", "reader"))
    with pytest.raises(Refusal, match="signs in as imke roodenburg already"):
        actions.accept_invitation(HOUSE, secret, "imke roodenburg", PASSWORD)


def test_a_short_or_common_password_is_refused_and_the_invitation_still_opens() -> None:
    _, secret = actions.invite(opened(), InvitationSaid("Saar Osei", "technician"))
    for bad in ("short", "password1234", "saar osei saar"):
        with pytest.raises(Refusal) as refused:
            actions.accept_invitation(HOUSE, secret, "Saar Osei", bad)
        assert refused.value.reasons[0].field == "password"
    assert actions.accept_invitation(HOUSE, secret, "Saar Osei", "plaster and dune grass").pk


def test_by_the_pages_from_the_inviter_to_the_invited(client: Any) -> None:
    opened()
    sign_in(client)
    said = {"name": "Saar Osei", "role": "technician", "key": key_on(client.get("/people/invite/"))}
    shown = client.post("/people/invite/", said)
    path = link_on(shown)
    assert client.post("/people/invite/", said).status_code == 302  # the second press makes no other
    client.logout()
    page = client.get(path)
    assert page["Referrer-Policy"] == "same-origin"
    assert page["X-Robots-Tag"] == "noindex"
    assert "Come in as technician" in page.content.decode()
    wrong = client.post(path, {"name": "Saar Osei", "password": "short"})
    assert wrong.status_code == 422
    assert client.post(path, {"name": "Saar Osei", "password": PASSWORD})["Location"] == "/today/"
    assert client.get("/me/").status_code == 200
    client.logout()
    assert client.get(path).status_code == 404


# roles


def test_nobody_changes_their_own_role() -> None:
    for head in (builders.imke(), builders.tobias()):
        with pytest.raises(Hindered, match="Nobody changes their own role"):
            actions.change_role(head, head.account_id or 0, ["registrar", "keeper"])
        with pytest.raises(Hindered, match="Nobody changes their own role"):
            actions.give_role(head, head.account_id or 0, "reader")


def test_the_last_registrar_stays() -> None:
    imke, tobias = builders.imke(), builders.tobias()
    with pytest.raises(Hindered, match="Imke Roodenburg is the only registrar there is"):
        actions.change_role(tobias, imke.account_id or 0, ["reader"])
    with pytest.raises(Hindered, match="is the only registrar"):
        actions.suspend(tobias, imke.account_id or 0)
    saar = builders.saar()
    actions.give_role(imke, saar.account_id or 0, "registrar")
    actions.change_role(tobias, imke.account_id or 0, ["reader"])
    assert reads.standing_roles(account_of(imke)) == ["reader"]


def test_the_last_keeper_stays_and_a_closed_account_does_not_count() -> None:
    imke, tobias = builders.imke(), builders.tobias()
    second = builders.account("Jonna Beck", "keeper")
    actions.suspend(imke, second.pk)
    with pytest.raises(Hindered, match="Tobias Wren is the only keeper"):
        actions.change_role(imke, tobias.account_id or 0, ["technician"])


def test_a_changed_role_ends_the_sessions_and_stands_in_the_history(client: Any) -> None:
    imke, saar = builders.imke(), builders.saar()
    sign_in(client, "Saar Osei")
    assert client.get("/me/").status_code == 200
    actions.change_role(imke, saar.account_id or 0, ["technician", "preparator"])
    assert client.get("/me/").status_code == 302
    ended = account_of(saar)
    assert set(reads.standing_roles(ended)) == {"technician", "preparator"}
    assert ended.roles_held.get(role="preparator").given_by_id == imke.account_id


def test_an_ended_role_is_kept_with_its_days() -> None:
    imke, saar = builders.imke(), builders.saar()
    actions.change_role(imke, saar.account_id or 0, ["reader"])
    old = Role.objects.get(account_id=saar.account_id, role="technician")
    assert old.until == today()
    assert old.changed_by_id == imke.account_id


def test_a_role_that_is_none_is_refused() -> None:
    imke, saar = builders.imke(), builders.saar()
    for roles in ([], ["director"], ["instrument"]):
        with pytest.raises(Refusal, match="Choose at least one of registrar"):
            actions.change_role(imke, saar.account_id or 0, roles)


def test_a_role_is_a_grave_act_on_the_page(client: Any) -> None:
    saar = builders.saar()
    builders.signed_in(client)
    address = f"/people/{saar.person_id}/role/"
    assert client.get(address).status_code == 200
    session = client.session
    session["account_authentication_methods"] = []
    session.save()
    assert client.get(address)["Location"].startswith("/sign-in/again/?next=")
    assert client.post(address, {"roles": ["reader"]}).status_code == 403
    assert reads.standing_roles(account_of(saar)) == ["technician"]


def test_by_the_page_a_role_is_changed_once(client: Any) -> None:
    saar = builders.saar()
    builders.signed_in(client)
    address = f"/people/{saar.person_id}/role/"
    said = {"roles": ["technician", "preparator"], "key": key_on(client.get(address))}
    for _ in range(2):
        assert client.post(address, said)["Location"] == f"/people/{saar.person_id}/"
    assert Role.objects.filter(account_id=saar.account_id).count() == 2
    assert "Became preparator." in client.get(f"/people/{saar.person_id}/").content.decode()


# leaves


def test_a_leave_is_one_act_more_until_its_day() -> None:
    imke, lenno = builders.imke(), builders.lenno()
    assert not may(lenno, "tray.enter")
    leave = actions.give_leave(imke, lenno.account_id or 0, "tray.enter", until=today() + timedelta(days=30))
    assert may(actor_for(account_of(lenno)), "tray.enter")
    with time_machine.travel(timezone.now() + timedelta(days=32)):
        assert not may(actor_for(account_of(lenno)), "tray.enter")
    actions.end_leave(imke, leave.pk)
    assert not may(actor_for(account_of(lenno)), "tray.enter")


def test_nobody_gives_leave_to_themselves_or_for_what_is_no_act() -> None:
    imke, lenno = builders.imke(), builders.lenno()
    with pytest.raises(Hindered, match="themselves"):
        actions.give_leave(imke, imke.account_id or 0, "restriction.lift")
    with pytest.raises(Refusal, match="There is no act 'fly'"):
        actions.give_leave(imke, lenno.account_id or 0, "fly")
    with pytest.raises(Refusal, match="This day is over"):
        actions.give_leave(imke, lenno.account_id or 0, "tray.enter", until=today() - timedelta(days=1))


# closed accounts


def test_a_closed_account_signs_in_no_more_and_its_name_stays(client: Any) -> None:
    imke, saar = builders.imke(), builders.saar()
    sign_in(client, "Saar Osei")
    actions.suspend(imke, saar.account_id or 0)
    assert client.get("/me/").status_code == 302
    assert not Visit.objects.filter(account_id=saar.account_id).exists()
    refused = sign_in(client, "Saar Osei")
    assert refused.status_code == 422
    assert "do not fit together" in refused.content.decode()
    assert Account.objects.get(pk=saar.account_id).person.name == "Saar Osei"
    actions.lift_suspension(imke, saar.account_id or 0)
    assert sign_in(client, "Saar Osei").status_code == 302


def test_nobody_closes_their_own_account() -> None:
    imke = builders.imke()
    with pytest.raises(Hindered, match="Nobody closes their own account"):
        actions.suspend(imke, imke.account_id or 0)


# what waits


def test_open_invitations_wait_for_the_inviters_only() -> None:
    from catalog.ground.asks import todays_work

    imke = opened()
    saar = come_in(imke, "Saar Osei", "technician")
    actions.invite(imke, InvitationSaid("Lenno Haak", "reader"))
    assert [d.sentence for d in todays_work(imke) if "Lenno Haak is invited as reader" in d.sentence]
    assert not [d for d in todays_work(saar) if "invited" in d.sentence]


def test_a_witness_is_asked_for_where_one_decides_alone() -> None:
    from catalog.ground.asks import todays_work

    imke = opened(alone=True)
    assert any("name a witness" in d.sentence for d in todays_work(imke))
    come_in(imke, "Tobias Wren", "keeper")
    assert any("There are two people who decide now" in d.sentence for d in todays_work(imke))
