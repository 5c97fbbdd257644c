"""Tokens: their form, what they may, and how they die."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.utils import timezone

from catalog.ground.refusal import NotAllowed, NotFound, Refusal
from catalog.people import actions
from catalog.people.doorkeeper import scope_of
from catalog.people.models import Token
from catalog.people.shown_once import ALPHABET, is_token, new_token, token_of, tokens_in
from tests import builders

pytestmark = pytest.mark.django_db
API = "/api/v1/people/"


def bearer(secret: str) -> dict[str, str]:
    return {"HTTP_AUTHORIZATION": f"Bearer {secret}"}


def given(who: Any, **more: Any) -> tuple[Token, str]:
    return actions.issue_token(who, **({"called": "Bal-2 in the workshop", "scope": "all"} | more))


# its form


def test_the_known_token_of_the_bytes_00_to_13() -> None:
    """trust.md 7: worked example, computed there with zlib's CRC-32 (ISO 3309)."""
    assert token_of("tool", bytes(range(0x14))) == "undercast_tool_000g40r40m30e209185gr38e1w8124gk23m0zzr"


def test_every_wrong_character_is_caught() -> None:
    whole = token_of("tool", bytes(range(0x14)))
    start = len("undercast_tool_")
    assert is_token(whole)
    for at in range(start, len(whole)):
        for letter in ALPHABET:
            changed = whole[:at] + letter + whole[at + 1 :]
            assert is_token(changed) == (changed == whole), changed


def test_a_token_of_another_kind_has_other_check_characters() -> None:
    assert not is_token(token_of("tool", bytes(20)).replace("_tool_", "_hand_"))


def test_a_true_token_is_found_in_a_text_and_a_likeness_is_not() -> None:
    secret, _, begins = new_token("hand")
    assert tokens_in(f"The balance sends {secret}, it says.") == [secret]
    assert secret.split("_")[2].startswith(begins)
    assert tokens_in(secret[:-1] + ("0" if secret[-1] != "0" else "1")) == []


# what is kept of it


def test_only_its_fingerprint_is_kept() -> None:
    token, secret = given(builders.imke())
    kept = [str(getattr(token, f.attname)) for f in Token._meta.concrete_fields]
    assert not any(secret in value or secret.split("_")[2][5:] in value for value in kept)
    assert len(token.digest) == 64


# what it may


def test_it_asks_as_its_owner(client: Any) -> None:
    _, secret = given(builders.imke())
    answer = client.get(API, **bearer(secret))
    assert answer.status_code == 200
    assert "contact" in answer.json()["items"][0]


def test_its_scope_is_narrower_than_its_owner(client: Any) -> None:
    _, secret = given(builders.imke(), kind="tool", scope="subject.find photo.add")
    refused = client.get(API, **bearer(secret))
    assert refused.status_code == 403
    assert refused.json()["scope"] == "record.read"


def test_all_means_no_grave_act_unless_it_is_named_beside() -> None:
    assert scope_of("all") == (None, frozenset())
    assert scope_of("all register.void") == (None, frozenset({"register.void"}))
    assert scope_of("photo.add") == (frozenset({"photo.add"}), frozenset())


def test_nobody_gives_a_token_more_than_they_may() -> None:
    with pytest.raises(Refusal, match=r"accession.do is not among what this person may do"):
        given(builders.saar(), scope="all accession.do")
    with pytest.raises(Refusal, match=r"There is no act 'everything'"):
        given(builders.saar(), scope="everything")


def test_only_registrar_and_keeper_give_tokens_to_others() -> None:
    saar, lenno = builders.saar(), builders.lenno()
    with pytest.raises(NotAllowed, match="to somebody else"):
        given(saar, account_pk=lenno.account_id)
    token, _ = given(builders.tobias(), account_pk=lenno.account_id)
    assert token.account_id == lenno.account_id


def test_a_tool_has_a_year_and_a_hand_ninety_days() -> None:
    from catalog.ground.collection import today

    tool, _ = given(builders.imke(), kind="tool", scope="photo.add")
    hand, _ = given(builders.imke())
    assert (tool.expires_on - today()).days == 365
    assert (hand.expires_on - today()).days == 90


# how it dies


def test_a_revoked_token_dies_at_once(client: Any) -> None:
    imke = builders.imke()
    token, secret = given(imke)
    assert client.get(API, **bearer(secret)).status_code == 200
    actions.revoke_token(imke, token.pk)
    assert client.get(API, **bearer(secret)).status_code == 401


def test_wrong_expired_revoked_and_suspended_get_the_same_answer(client: Any) -> None:
    imke, saar = builders.imke(), builders.saar()
    expired, expired_secret = given(imke)
    Token.objects.filter(pk=expired.pk).update(expires_on=timezone.now().date() - timedelta(days=2))
    revoked, revoked_secret = given(imke)
    actions.revoke_token(imke, revoked.pk)
    _, suspended_secret = given(saar)
    actions.suspend(imke, saar.account_id or 0)
    wrong = [expired_secret, revoked_secret, suspended_secret, new_token("hand")[0], "nonsense", ""]
    answers = [client.get(API, **bearer(secret)) for secret in wrong]
    assert {a.status_code for a in answers} == {401}
    assert len({a.content for a in answers}) == 1
    assert answers[0]["WWW-Authenticate"] == "Bearer"


def test_a_token_in_an_address_is_refused_and_revoked(client: Any) -> None:
    for name in ("token", "access_token", "q"):
        token, secret = given(builders.imke())
        answer = client.get(API, {name: secret})
        assert answer.status_code == 400
        token.refresh_from_db()
        assert token.revoked_at is not None


def test_a_token_counts_for_nothing_on_a_page(client: Any) -> None:
    _, secret = given(builders.imke())
    assert client.get("/people/", **bearer(secret)).status_code == 302


def test_its_last_use_is_written_hourly_and_is_no_history(client: Any) -> None:
    token, secret = given(builders.imke())
    with time_machine.travel(timezone.now() + timedelta(minutes=1), tick=False):
        client.get(API, **bearer(secret))
        token.refresh_from_db()
        first = token.last_used_at
        assert first is not None
        assert token.last_used_from == "127.0.0.0/24"
    with time_machine.travel(timezone.now() + timedelta(minutes=40), tick=False):
        client.get(API, **bearer(secret))
        token.refresh_from_db()
        assert token.last_used_at == first
    with time_machine.travel(timezone.now() + timedelta(minutes=90), tick=False):
        client.get(API, **bearer(secret))
        token.refresh_from_db()
        assert token.last_used_at > first
    assert token.history.count() == 1
    assert token.version == 1


def test_a_stranger_revokes_nothing() -> None:
    token, _ = given(builders.imke())
    with pytest.raises(NotFound, match="not yours"):
        actions.revoke_token(builders.saar(), token.pk)
    actions.revoke_token(builders.tobias(), token.pk)


# the page


def test_the_page_shows_a_token_once_and_a_second_press_makes_none(client: Any) -> None:
    from tests.catalog.people.makers_people import key_on

    builders.signed_in(client)
    said = {"called": "The bench", "kind": "hand", "may": "all", "key": key_on(client.get("/settings/tokens/"))}
    shown = client.post("/settings/tokens/", said)
    secret = tokens_in(shown.content.decode())[0]
    assert shown["Cache-Control"] == "no-store"
    again = client.post("/settings/tokens/", said)
    assert again.status_code == 302
    assert Token.objects.count() == 1
    listed = client.get("/settings/tokens/").content.decode()
    assert "shown only once" in listed
    assert secret not in listed


def test_an_act_that_is_none_is_said_at_its_field(client: Any) -> None:
    builders.signed_in(client)
    said = {"called": "The bench", "kind": "hand", "may": "named", "acts": "fly", "key": "k" * 20}
    answer = client.post("/settings/tokens/", said)
    assert answer.status_code == 422
    assert "There is no act &#x27;fly&#x27;" in answer.content.decode()
