"""One-off links: printed at the machine, made for somebody, asked for by letter. Each opens once."""

from __future__ import annotations

import re
from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
import time_machine
from django.core.management import CommandError, call_command
from django.test import Client
from django.utils import timezone

from catalog.ground.refusal import NotFound, Refusal
from catalog.ground.roles import HOUSE
from catalog.people import actions
from catalog.people.models import Account, Link, Token, Visit
from catalog.people.shown_once import is_token
from tests import builders
from tests.builders import PASSWORD
from tests.catalog.people.makers_people import account_of, key_on, link_on, opened, sign_in

pytestmark = pytest.mark.django_db


def said_by(command: str, *args: str) -> str:
    out = StringIO()
    call_command(command, *args, stdout=out, stderr=out)
    return out.getvalue()


def path_in(text: str) -> str:
    found = re.search(r"(/sign-in/link/[0-9a-z]{32}/)", text)
    assert found, text
    return found[1]


# printed at the machine


def test_a_sign_in_link_opens_once_and_looking_at_it_does_not_burn_it(client: Any) -> None:
    builders.imke()
    path = path_in(said_by("sign_in_link", "imke roodenburg"))
    for _ in range(3):
        assert client.get(path).status_code == 200
    assert client.head(path).status_code == 200
    assert client.post(path)["Location"] == "/today/"
    assert client.get("/me/").status_code == 200
    later = Client()
    assert later.get(path).status_code == 404
    assert later.post(path).status_code == 404


def test_a_new_link_voids_the_one_before(client: Any) -> None:
    builders.imke()
    old, new = (path_in(said_by("sign_in_link", "Imke Roodenburg")) for _ in range(2))
    assert client.get(old).status_code == 404
    assert client.get(new).status_code == 200


def test_a_link_is_over_after_a_quarter_of_an_hour(client: Any) -> None:
    builders.imke()
    path = path_in(said_by("sign_in_link", "Imke Roodenburg"))
    with time_machine.travel(timezone.now() + timedelta(minutes=15, seconds=1)):
        assert client.get(path).status_code == 404


def test_a_link_for_nobody_or_a_closed_account_is_not_made() -> None:
    imke, saar = builders.imke(), builders.saar()
    with pytest.raises(CommandError, match="Nobody signs in as Jonna"):
        said_by("sign_in_link", "Jonna")
    actions.suspend(imke, saar.account_id or 0)
    with pytest.raises(CommandError, match="is closed"):
        said_by("sign_in_link", "Saar Osei")


def test_unknown_used_and_old_links_have_one_page(client: Any) -> None:
    builders.imke()
    used = path_in(said_by("sign_in_link", "Imke Roodenburg"))
    client.post(used)
    client.post("/sign-out/")
    pages = [client.get(p).content for p in (used, "/sign-in/link/" + "0" * 32 + "/", "/sign-in/link/nonsense/")]
    bare = [re.sub(rb"[0-9A-F]{8}|value=\"[^\"]+\"", b"", p) for p in pages]
    assert bare[0] == bare[1] == bare[2]
    assert b"Ask Imke Roodenburg, the registrar" in pages[0]


def test_ten_unknown_links_in_a_minute_and_the_network_waits(client: Any) -> None:
    builders.imke()
    with time_machine.travel(timezone.now(), tick=False) as clock:
        answers = [client.get(f"/sign-in/link/{n:032d}/").status_code for n in range(11)]
        assert answers == [404] * 10 + [429]
        assert client.get("/sign-in/link/x/", REMOTE_ADDR="203.0.113.9").status_code == 404
        clock.shift(61)
        assert client.get("/sign-in/link/x/").status_code == 404


def test_start_prints_a_link_only_while_nobody_can_sign_in_or_when_asked() -> None:
    assert "/sign-in/link/" in said_by("start_link")
    opened()
    assert said_by("start_link") == ""
    line = said_by("start_link", "--link")
    assert line.count("\n") == 1
    assert Link.objects.order_by("-id")[0].account == Account.objects.get(name="Imke Roodenburg")


def test_in_a_house_without_passwords_the_link_signs_in_its_registrar(client: Any) -> None:
    opened(password=None)
    client.post(path_in(said_by("start_link")))
    assert "Imke Roodenburg" in client.get("/me/").content.decode()
    assert client.post("/me/password/", {"password": "plaster and dune grass"})["Location"] == "/me/"
    assert said_by("start_link") == ""


def test_who_came_by_a_link_writes_a_new_password_without_the_old_one(client: Any) -> None:
    builders.imke()
    client.post(path_in(said_by("sign_in_link", "Imke Roodenburg")))
    assert client.get("/settings/change/")["Location"].startswith("/sign-in/again/")  # a link is no password
    assert client.post("/me/password/", {"password": "plaster and dune grass"}).status_code == 302
    assert sign_in(Client(), password="plaster and dune grass").status_code == 302


# a token at the machine


def test_the_secret_stands_alone_on_the_last_line(client: Any) -> None:
    builders.imke()
    lines = said_by("issue_token", "--scope", "all").splitlines()
    assert is_token(lines[-1])
    assert not any(is_token(word) for line in lines[:-1] for word in line.split())
    assert "Imke Roodenburg" in lines[0]
    assert client.get("/api/v1/people/", HTTP_AUTHORIZATION=f"Bearer {lines[-1]}").status_code == 200


def test_a_token_is_given_for_a_named_person_and_never_beyond_them() -> None:
    builders.imke()
    saar = builders.saar()
    said_by("issue_token", "--scope", "all", "--for", "Saar Osei")
    assert Token.objects.get().account_id == saar.account_id
    with pytest.raises(CommandError, match="not among what this person may do"):
        said_by("issue_token", "--scope", "all accession.do", "--for", "Saar Osei")
    with pytest.raises(CommandError, match="Nobody signs in as Jonna"):
        said_by("issue_token", "--scope", "all", "--for", "Jonna")


def test_without_a_registrar_there_is_no_token() -> None:
    with pytest.raises(CommandError, match="no registrar yet"):
        said_by("issue_token", "--scope", "all")


# a new password


def test_a_new_password_by_link_ends_all_sessions(client: Any) -> None:
    imke, saar = builders.imke(), builders.saar()
    theirs = Client()
    sign_in(theirs, "Saar Osei")
    _, secret = actions.make_link(imke, saar.account_id or 0)
    address = f"/sign-in/link/{secret}/"
    assert client.post(address, {"password": "short"}).status_code == 422
    assert client.get(address).status_code == 200  # what was too short burnt nothing
    assert client.post(address, {"password": "plaster and dune grass"})["Location"] == "/today/"
    assert theirs.get("/me/").status_code == 302
    assert Visit.objects.filter(account_id=saar.account_id).count() == 1
    assert Client().get(address).status_code == 404
    assert sign_in(Client(), "Saar Osei").status_code == 422


def test_a_password_that_is_the_name_is_refused() -> None:
    imke, saar = builders.imke(), builders.saar()
    _, secret = actions.make_link(imke, saar.account_id or 0)
    with pytest.raises(Refusal, match="too similar"):
        actions.set_password_by_link(HOUSE, secret, "saar osei osei")


def test_a_sign_in_link_sets_no_password() -> None:
    _, secret = actions.print_link(HOUSE, "sign in", account_of(builders.imke()))
    with pytest.raises(NotFound):
        actions.set_password_by_link(HOUSE, secret, "plaster and dune grass")


def test_two_at_once_burn_a_link_once() -> None:
    _, secret = actions.print_link(HOUSE, "sign in", account_of(builders.imke()))
    actions.use_link(HOUSE, secret)
    with pytest.raises(NotFound):
        actions.use_link(HOUSE, secret)


def test_the_registrar_hands_a_link_over(client: Any) -> None:
    saar = builders.saar()
    builders.signed_in(client)
    address = f"/people/{saar.person_id}/link/"
    said = {"key": key_on(client.get(address))}
    path = link_on(client.post(address, said))
    assert client.post(address, said).status_code == 302
    assert Link.objects.count() == 1
    other = Client()
    assert "A new password for Saar Osei" in other.get(path).content.decode()


def test_a_technician_makes_no_links(client: Any) -> None:
    imke = builders.imke()
    builders.signed_in(client, "Saar Osei")
    assert client.get(f"/people/{imke.person_id}/link/").status_code == 403


def test_asking_for_a_letter_has_one_answer_and_one_task_for_every_name(client: Any) -> None:
    from django_tasks_db.models import DBTaskResult

    builders.imke()
    Account.objects.update(email="imke@station.example")
    pages = []
    for name in ("Imke Roodenburg", "Nobody At All"):
        answer = client.post("/sign-in/reset/", {"name": name})
        pages.append((answer.status_code, answer["Location"]))
    assert pages[0] == pages[1]
    assert DBTaskResult.objects.count() == 2
    assert "Nobody" not in str(list(DBTaskResult.objects.values_list("args_kwargs", flat=True)))
    assert PASSWORD not in str(list(DBTaskResult.objects.values_list("args_kwargs", flat=True)))


def test_letters_are_not_asked_for_without_end(client: Any) -> None:
    builders.imke()
    answers = [client.post("/sign-in/reset/", {"name": "Imke Roodenburg"}).status_code for _ in range(11)]
    assert answers == [302] * 10 + [429]
