"""Letters through a real mail server (aiosmtpd): after the act, at least once, each with one Message-ID."""

from __future__ import annotations

import re
import socket
from collections.abc import Iterator
from datetime import timedelta
from email import message_from_bytes
from email.message import Message
from typing import Any

import pytest
import time_machine
from aiosmtpd.controller import Controller
from django.core.management import call_command
from django.db import transaction
from django.test import Client
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from catalog.people import actions
from catalog.people.models import Account
from catalog.people.said import InvitationSaid
from tests import builders
from tests.builders import PASSWORD
from tests.catalog.people.makers_people import opened, sign_in

pytestmark = pytest.mark.django_db(transaction=True)


class Box:
    """A mail server that keeps what it gets; `closed` refuses it."""

    def __init__(self) -> None:
        self.letters: list[Message] = []
        self.closed = False

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:
        if self.closed:
            return "451 come again later"
        self.letters.append(message_from_bytes(envelope.content))
        return "250 kept"

    def words(self, n: int = -1) -> str:
        return self.letters[n].get_payload(decode=True).decode()  # type: ignore[union-attr]


@pytest.fixture
def box(settings: Any) -> Iterator[Box]:
    kept = Box()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = Controller(kept, hostname="127.0.0.1", port=port)
    server.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port
    yield kept
    server.stop()


def post() -> None:
    """The worker does what is due, and ends."""
    call_command("db_worker", batch=True, interval=0, startup_delay=False, verbosity=0)


def path_in(letter: str) -> str:
    found = re.search(r"https?://[^/\s]+(/\S+/)", letter)
    assert found, letter
    return found[1]


def test_an_invitation_goes_out_after_the_act_and_lets_in(box: Box, client: Any) -> None:
    actions.invite(opened(), InvitationSaid("Saar Osei", "technician", "saar@station.example"))
    assert box.letters == []
    post()
    letter = box.letters[0]
    assert letter["To"] == "saar@station.example"
    assert letter["Subject"].startswith("Tarn Holm dune and marsh station: come in as technician by ")
    assert "Imke Roodenburg invites you" in box.words()
    answer = client.post(path_in(box.words()), {"name": "Saar Osei", "password": PASSWORD})
    assert answer["Location"] == "/today/"
    assert Account.objects.get(name="Saar Osei").email == "saar@station.example"


def test_what_is_taken_back_is_not_sent(box: Box) -> None:
    imke = opened()
    made, _ = actions.invite(imke, InvitationSaid("Saar Osei", "technician", "saar@station.example"))
    actions.revoke_invitation(imke, made.pk)
    post()
    assert box.letters == []


def test_an_act_that_fails_sends_nothing(box: Box) -> None:
    imke = opened()
    with pytest.raises(RuntimeError), transaction.atomic():
        actions.invite(imke, InvitationSaid("Saar Osei", "technician", "saar@station.example"))
        raise RuntimeError
    post()
    assert box.letters == []


def test_a_closed_mail_server_is_tried_again_with_the_same_letter(box: Box) -> None:
    actions.invite(opened(), InvitationSaid("Saar Osei", "technician", "saar@station.example"))
    box.closed = True
    post()
    assert box.letters == []
    box.closed = False
    with time_machine.travel(timezone.now() + timedelta(minutes=2), tick=True):
        post()
    assert len(box.letters) == 1
    first = path_in(box.words())
    task = DBTaskResult.objects.order_by("enqueued_at").first()
    DBTaskResult.objects.filter(pk=task.pk).update(status="READY", finished_at=None)  # type: ignore[union-attr]
    post()
    assert box.letters[0]["Message-ID"] == box.letters[1]["Message-ID"]
    assert path_in(box.words()) == first


def test_no_table_holds_the_link_of_a_letter(box: Box) -> None:
    _, secret = actions.invite(opened(), InvitationSaid("Saar Osei", "technician", "saar@station.example"))
    assert secret not in str(list(DBTaskResult.objects.values()))
    post()
    assert secret in box.words()
    assert secret not in str(list(DBTaskResult.objects.values()))


def test_a_new_password_by_letter(box: Box, client: Any) -> None:
    builders.imke()
    Account.objects.update(email="imke@station.example")
    client.post("/sign-in/reset/", {"name": "imke@station.example"})
    client.post("/sign-in/reset/", {"name": "Nobody At All"})
    post()
    assert len(box.letters) == 1
    address = path_in(box.words())
    assert client.post(address, {"password": "plaster and dune grass"})["Location"] == "/today/"
    assert Client().get(address).status_code == 404
    assert sign_in(Client(), password="plaster and dune grass").status_code == 302


def test_a_link_of_a_letter_is_over_after_half_an_hour(box: Box, client: Any) -> None:
    builders.imke()
    Account.objects.update(email="imke@station.example")
    client.post("/sign-in/reset/", {"name": "Imke Roodenburg"})
    post()
    address = path_in(box.words())
    with time_machine.travel(timezone.now() + timedelta(minutes=30, seconds=5)):
        assert client.get(address).status_code == 404


def test_five_minutes_pass_between_two_letters(box: Box, client: Any) -> None:
    builders.imke()
    Account.objects.update(email="imke@station.example")
    for _ in range(3):
        client.post("/sign-in/reset/", {"name": "Imke Roodenburg"})
        post()
    assert len(box.letters) == 1


def test_the_owner_hears_once_of_wrong_passwords(box: Box) -> None:
    builders.imke()
    Account.objects.update(email="imke@station.example")
    for n in range(33):
        sign_in(Client(), "Imke Roodenburg", "spite and more spite", REMOTE_ADDR=f"198.51.{n}.1")
    post()
    assert len(box.letters) == 1
    assert "30 wrong passwords were tried for your account" in box.words()


def test_a_name_with_a_line_break_makes_no_second_head(box: Box) -> None:
    from catalog.ground.refusal import Refusal

    with pytest.raises(Refusal):
        actions.invite(opened(), InvitationSaid("Saar\nBcc: all@station.example", "technician", "saar@station.example"))
    post()
    assert box.letters == []


def test_without_a_mail_server_the_link_is_shown_to_hand_over(settings: Any, client: Any) -> None:
    from tests.catalog.people.makers_people import key_on, link_on

    settings.EMAIL_BACKEND = "django.core.mail.backends.dummy.EmailBackend"
    opened()
    sign_in(client)
    said = {"name": "Saar Osei", "role": "technician", "email": "saar@station.example"}
    shown = client.post("/people/invite/", said | {"key": key_on(client.get("/people/invite/"))})
    assert link_on(shown).startswith("/invitation/")
    assert not DBTaskResult.objects.exists()
    assert "sends no letters yet" in Client().get("/sign-in/reset/").content.decode()
