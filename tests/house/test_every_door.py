"""Every address as every role and signed out: refused exactly where the table says, never a 500."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from catalog.ground.roles import ACTS, ANYONE, GRAVE, ROLES
from catalog.people.models import Leave
from tests import builders
from tests.doors import Door, address_of, doors, samples
from tests.stories.demo import the_demo

WHO = {
    "registrar": "Imke Roodenburg",
    "keeper": "Tobias Wren",
    "technician": "Saar Osei",
    "preparator": "Ottilie Brandt",
    "reader": "Lenno Haak",
}
_PUBLIC_FILES = ("sw.js", "ok/")
# these answer with more than a page: they end the session of who asks
_ENDS = ("sign-out/", "me/sessions/end/", "me/password/")


def test_every_route_names_its_act() -> None:
    bare = [d.route for d in doors() if not d.acts]
    assert bare == []
    unknown = {a for d in doors() for a in d.acts.values()} - set(ACTS)
    assert not unknown


def _public(act: str) -> bool:
    return ANYONE in ACTS[act]


@pytest.mark.django_db
def test_every_page_as_every_role(settings: Any) -> None:
    """The demo is loaded once; each role opens every door, and so does somebody who is signed out."""
    settings.COUNT_KEPT_S = 600  # what waits for somebody is counted once, as in a house that serves
    the_demo()
    station, wrong = samples(), []
    for role in [*ROLES, "nobody"]:
        client = Client() if role == "nobody" else builders.signed_in(Client(), WHO[role])
        for door in doors():
            for method, act in door.acts.items():
                if method not in ("GET", "POST") or door.route in _ENDS:
                    continue
                answer = _ask(client, method, door, address_of(door, station))
                if fault := _fault(door, method, act, role, answer):
                    wrong.append(fault)
    assert not wrong, "\n".join(wrong)


def _ask(client: Client, method: str, door: Door, address: str) -> Any:
    from django.db import transaction

    extra = {"headers": {"Idempotency-Key": "the-crawl-asks-once-0001"}} if door.api else {}
    with transaction.atomic():
        if method == "GET":
            answer = client.get(address, **extra)
        else:
            answer = (
                client.post(address, {}, content_type="application/json", **extra)
                if door.api
                else client.post(address, {})
            )
        if answer.streaming:
            b"".join(answer.streaming_content)
        transaction.set_rollback(True)
    return answer


def _fault(door: Door, method: str, act: str, role: str, answer: Any) -> str:
    status = answer.status_code
    said = f"{role} {method} /{door.route} ({act}): {status}"
    if status >= 500:
        return said
    if role == "nobody":
        if _public(act):
            return ""
        kept_out = status == 401 if door.api else status == 302 and answer["Location"].startswith("/sign-in/")
        return "" if kept_out else said
    allowed = role in ACTS[act] or _public(act) or _has_leave(role, act)
    if not allowed and status != 403:
        return said
    if allowed and status == 403 and act not in GRAVE and not _own_business(answer):
        return said
    return ""


def _has_leave(role: str, act: str) -> bool:
    """One act more for one person: in the demo the student enters trays."""
    return Leave.objects.filter(account__name=WHO[role], act=act, until__isnull=True).exists()


def _own_business(answer: Any) -> bool:
    """A 403 that is about two persons or about what asks for the password again, not about the role."""
    text = answer.content.decode(errors="ignore")
    return "Nobody decides" in text or "your own" in text or "password again" in text or "kept back" in text
