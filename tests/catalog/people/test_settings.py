"""What a registrar decides of the collection."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from catalog.ground.collection import collection
from catalog.ground.refusal import NotAllowed, Refusal, Stale
from catalog.ground.roles import may
from catalog.people import actions, reads
from catalog.people.forms import SettingsForm
from catalog.people.forms.deciding import settings_now
from catalog.people.said import CollectionSaid
from tests import builders
from tests.catalog.people.makers_people import key_on, opened

pytestmark = pytest.mark.django_db
NOW = CollectionSaid("Tarn Holm dune and marsh station", "TH", zone="Europe/Amsterdam")


def test_a_decision_is_kept_with_its_history() -> None:
    imke = opened()
    actions.change_collection(imke, replace(NOW, name="Tarn Holm station", entry_days=30), expected_version=1)
    ours = collection()
    assert (ours.name, ours.entry_days, ours.version) == ("Tarn Holm station", 30, 2)
    assert ours.history.first().history_user.name == "Imke Roodenburg"
    assert reads.us().name == "Tarn Holm station"


def test_the_second_to_decide_sees_the_first() -> None:
    imke = opened()
    actions.change_collection(imke, replace(NOW, entry_days=30), expected_version=1)
    with pytest.raises(Stale):
        actions.change_collection(imke, replace(NOW, entry_days=60), expected_version=1)


def test_only_registrar_and_keeper_decide() -> None:
    with pytest.raises(NotAllowed):
        actions.change_collection(builders.saar(), NOW)


@pytest.mark.parametrize(
    "wrong, field",
    [
        ({"code": "9X"}, "code"),
        ({"zone": "Europe/Atlantis"}, "zone"),
        ({"currency": "EURO"}, "currency"),
        ({"accession_pattern": "{n}"}, "accession_pattern"),
        ({"entry_pattern": "{year}.{n}"}, "entry_pattern"),
        ({"entry_days": 0}, "entry_days"),
        ({"own_digs_kept": True}, "own_digs_minute"),
    ],
)
def test_a_wrong_setting_names_its_field_and_writes_nothing(wrong: dict[str, Any], field: str) -> None:
    imke = opened()
    with pytest.raises(Refusal) as refused:
        actions.change_collection(imke, replace(NOW, **wrong))
    assert field in {r.field for r in refused.value.reasons}
    assert collection().version == 1


def test_nobody_is_alone_among_two_who_decide() -> None:
    imke = builders.imke()
    builders.tobias()
    with pytest.raises(Refusal, match="There are two people who decide"):
        actions.change_collection(imke, replace(NOW, alone=True))


def test_in_a_collection_of_one_a_witness_is_named_later() -> None:
    imke = opened(alone=True)
    assert imke.alone_before == ""
    assert may(imke, "acquisition.decide")
    actions.change_collection(imke, replace(NOW, alone=True, witness="Jonna Beck"))
    from catalog.people.doorkeeper import actor_for
    from tests.catalog.people.makers_people import account_of

    assert actor_for(account_of(imke)).alone_before == "Jonna Beck"


def test_the_form_begins_with_what_stands_and_says_the_same() -> None:
    opened()
    now = settings_now(collection())
    form = SettingsForm({k: "" if v is None else v for k, v in now.items()})
    assert form.is_valid(), form.errors
    assert form.said() == CollectionSaid(**{f: getattr(collection(), f) for f in CollectionSaid.__dataclass_fields__})


def test_by_the_page(client: Any) -> None:
    builders.signed_in(client)
    page = client.get("/settings/change/")
    said = {k: "" if v is None else v for k, v in settings_now(collection()).items()}
    said |= {"reach_us": "Imke, in on Thursdays", "own_digs_decided_on": "1 February 2010", "key": key_on(page)}
    assert client.post("/settings/change/", said)["Location"] == "/settings/"
    assert collection().reach_us == "Imke, in on Thursdays"
    assert collection().own_digs_decided_on == date(2010, 2, 1)
    assert "Imke, in on Thursdays" in client.get("/settings/").content.decode()
    wrong = client.post("/settings/change/", said | {"zone": "Europe/Atlantis", "key": "k" * 20})
    assert wrong.status_code == 422


def test_the_settings_are_for_registrar_and_keeper(client: Any) -> None:
    builders.imke()
    for name, status in (("Tobias Wren", 200), ("Saar Osei", 403), ("Ottilie Brandt", 403), ("Lenno Haak", 403)):
        builders.signed_in(client, name)
        assert client.get("/settings/").status_code == status
        assert client.get("/settings/change/").status_code == status
        client.logout()
