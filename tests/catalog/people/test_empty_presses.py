"""A press with nothing in it is answered with a sentence, never with a fault of ours."""

from __future__ import annotations

from typing import Any

import pytest

from tests import builders

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("address", ["/sign-in/again/", "/me/passkeys/new/", "/sign-in/"])
def test_an_empty_press_is_answered(client: Any, address: str) -> None:
    builders.signed_in(client, "Imke Roodenburg")
    assert client.post(address, {}).status_code < 500
