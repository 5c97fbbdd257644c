"""Weighing: each a value of its own, the latest stands, a reading that comes again is the same one."""

from __future__ import annotations

import json
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError
from django.utils import timezone

from catalog.casts.actions import keep_crumbs
from catalog.casts.subject import Subject
from catalog.ground.refusal import Hindered, Refusal
from catalog.measurements import actions, reads
from catalog.measurements.models import BalanceReading, Measurement
from tests import builders
from tests.catalog.measurements.makers_measurements import bal_2, key
from tests.harness.at_once import at_once
from tests.registry.places.makers_places import asked

pytestmark = pytest.mark.django_db


def body(suffix: str = "4") -> Subject:
    cast = builders.Cast.objects.filter(number="2016.1").first() or builders.cast()
    return Subject(cast, builders.piece(cast, suffix))


def ago(hours: float) -> Any:
    return timezone.now() - timedelta(hours=hours)


def mass_of(subject: Subject) -> Any:
    assert subject.piece
    subject.piece.refresh_from_db()
    return subject.piece.mass_g, subject.piece.mass_state


def test_weighing_again_is_a_new_value_and_the_latest_stands() -> None:
    saar, piece = builders.saar(), body()
    first = actions.weigh(saar, piece, Decimal("120.4"), state="wet", at=ago(48))
    actions.weigh(saar, piece, Decimal("98.1"), state="air dry", at=ago(1))
    assert mass_of(piece) == (Decimal("98.1"), "air dry")
    # what was weighed before that is typed afterwards
    actions.weigh(saar, piece, Decimal("101.0"), state="wet", at=ago(24))
    assert mass_of(piece) == (Decimal("98.1"), "air dry")
    first.refresh_from_db()
    assert (first.value, Measurement.objects.count()) == (Decimal("120.4"), 3)


def test_a_mistake_is_replaced_and_stays_on_record() -> None:
    saar, piece = builders.saar(), body()
    wrong = actions.weigh(saar, piece, Decimal(1042), at=ago(1))
    right = actions.weigh(saar, piece, Decimal("104.2"), at=ago(2), replaces=wrong)
    assert mass_of(piece)[0] == Decimal("104.2")
    assert reads.newest_of(piece) == right
    with pytest.raises(Hindered, match="replaces that one already"):
        actions.weigh(saar, piece, Decimal(104), replaces=wrong)


def test_the_balance_says_how_far_it_may_be_off_and_the_tare_is_kept() -> None:
    """u .165831 for d .1, repeatability .1, linearity .2, U .1 with k 2 and a tare (GUM, worked by hand)."""
    made = actions.weigh(
        builders.saar(), body(), Decimal("86.4"), instrument=bal_2(), tare_g=Decimal(310), tare_of="tray"
    )
    assert made.u == pytest.approx(Decimal("0.165831"), abs=Decimal("1e-6"))
    assert (made.tare, made.tare_of, made.flags) == (Decimal(310), "tray", "")


def test_a_balance_that_repeats_itself_gives_one() -> None:
    saar, piece, balance = builders.saar(), body(), bal_2()
    one = actions.weigh(saar, piece, Decimal("86.4"), instrument=balance, key="000017")
    assert actions.weigh(saar, piece, Decimal("86.4"), instrument=balance, key="000017") == one
    with pytest.raises(Hindered, match=r"kept for 2016\.1\.4 already"):
        actions.weigh(saar, body("5"), Decimal("86.4"), instrument=balance, key="000017")
    assert Measurement.objects.count() == 1


@pytest.mark.parametrize(
    "said, sentence",
    [
        ({"mass_g": Decimal("-0.3")}, "Was the tray or the bag still on the pan"),
        ({"mass_g": Decimal(0)}, "above zero"),
        ({"mass_g": Decimal(99_999_999)}, "look at the unit"),
        ({"mass_g": Decimal(5), "state": "damp"}, "wet, air dry or constant"),
        ({"mass_g": Decimal(5), "at": timezone.now() + timedelta(days=1)}, "has not come yet"),
        ({"mass_g": Decimal(5), "tare_g": Decimal(-1)}, "not below zero"),
    ],
)
def test_what_is_no_weighing_is_named_and_not_written(said: dict[str, Any], sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence):
        actions.weigh(builders.saar(), body(), said.pop("mass_g"), **said)
    assert not Measurement.objects.exists()


def test_a_balance_does_not_carry_more_than_it_can() -> None:
    with pytest.raises(Refusal, match="Bal-2 does not carry so much"):
        actions.weigh(builders.saar(), body(), Decimal(5900), instrument=bal_2(), tare_g=Decimal(310))


def test_nothing_is_weighed_before_it_was_dug_nor_when_it_is_broken() -> None:
    dig = builders.excavation(dug_on="2026-06-01", dug_earliest="2026-06-01", dug_latest="2026-06-01")
    cast = builders.cast("2026.2", excavation=dig)
    with pytest.raises(Refusal, match="before it came out of the ground"):
        actions.weigh(
            builders.saar(),
            Subject(cast),
            Decimal(5),
            at=timezone.datetime(2026, 5, 1, tzinfo=timezone.get_current_timezone()),
        )
    gone = builders.piece(cast, "1", present=False)
    with pytest.raises(Hindered):
        actions.weigh(builders.saar(), Subject(cast, gone), Decimal(5))


def test_a_measurement_is_never_written_over() -> None:
    made = actions.weigh(builders.saar(), body(), Decimal(5))
    with pytest.raises(IntegrityError, match="never changed"):
        Measurement.objects.filter(pk=made.pk).update(value=6)


def test_crumbs_are_weighed_again_as_a_lot() -> None:
    lot = keep_crumbs(builders.saar(), Subject(builders.cast()), mass_g=Decimal("60.0"), n=30)
    made = actions.weigh_crumbs(builders.saar(), lot, Decimal("61.5"), n=34)
    lot.refresh_from_db()
    assert (lot.mass_g, lot.n, made.crumbs) == (Decimal("61.5"), 34, lot)


def test_drying_is_read_from_the_weighings_that_stand() -> None:
    """989.0 to 988.1 in 72 h is .091 % of the later mass: constant (EN 1936:2006, 0.1 %)."""
    saar, piece = builders.saar(), body()
    actions.weigh(saar, piece, Decimal("989.0"), at=ago(80), u_g=Decimal("0.1"))
    slip = actions.weigh(saar, piece, Decimal("98.8"), at=ago(8), u_g=Decimal("0.1"))
    rows = list(reads.weighings_of(saar, piece))
    assert reads.drying_of(rows).due is not None
    actions.weigh(saar, piece, Decimal("988.1"), at=ago(8), u_g=Decimal("0.1"), replaces=slip)
    found = reads.drying_of(list(reads.weighings_of(saar, piece)))
    assert (found.state, found.due) == ("constant", None)


def test_a_reading_waits_for_a_row_until_a_weighing_takes_it() -> None:
    saar, balance, piece = builders.saar(), bal_2(), body()
    one = actions.keep_reading(saar, balance, "000021", Decimal("86.4"))
    assert actions.keep_reading(saar, balance, "000021", Decimal("86.4")) == one
    assert reads.readings_waiting(balance) == [one]
    actions.weigh(saar, piece, one.mass_g, instrument=balance, key=one.key, at=one.at)
    assert reads.readings_waiting(balance) == []
    with pytest.raises(Refusal):
        actions.keep_reading(saar, balance, "000022", Decimal("-0.3"))


def post(client: Any, address: str, **said: Any) -> Any:
    return client.post(address, json.dumps(said), "application/json", HTTP_IDEMPOTENCY_KEY=said.pop("once", key()))


def test_the_api_weighs_and_lists(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    body(), bal_2()
    said = {"of": "2016.1.4", "gross_g": "396.4", "tare_g": "310", "tare_of": "tray", "instrument": "Bal-2", "key": "1"}
    answer = post(client, "/api/v1/weighings/", **said, state="wet")
    assert answer.status_code == 201, answer.content
    shown = answer.json()
    assert (shown["of"], shown["mass_g"], shown["tare_g"], shown["by"]) == ("2016.1.4", 86.4, 310, "Saar Osei")
    assert post(client, "/api/v1/weighings/", **said).json()["uid"] == shown["uid"]
    again = post(client, "/api/v1/weighings/", of="2016.1.4", mass_g="1.2 kg", replaces=shown["uid"])
    assert again.json()["replaces"] == shown["uid"]
    listed = client.get("/api/v1/weighings/?of=2016.1&standing=true").json()
    assert [w["mass_g"] for w in listed["items"]] == [1200]
    wrong = post(client, "/api/v1/weighings/", of="2016.1.4", mass_g="-3")
    assert (wrong.status_code, wrong.json()["errors"][0]["pointer"]) == (422, "/mass_g")
    assert post(client, "/api/v1/weighings/", of="2016.1.4").status_code == 422


def test_a_balance_speaks_with_a_token_of_its_own(client: Any) -> None:
    from catalog.people.actions import issue_token

    balance = bal_2()
    more = {"kind": "tool", "scope": "measurement.post", "instrument": "Bal-2"}
    secret = issue_token(builders.saar(), called="bench", **more)[1]
    head = {"HTTP_AUTHORIZATION": f"Bearer {secret}", "content_type": "application/json"}
    said = json.dumps({"key": "000017", "mass_g": "86.4"})
    for _ in range(2):
        answer = client.post("/api/v1/readings/", said, HTTP_IDEMPOTENCY_KEY=key(), **head)
        assert answer.status_code == 201, answer.content
    assert BalanceReading.objects.get().instrument == balance
    other = json.dumps({"key": "000018", "mass_g": "86.4", "instrument": "Bal-9"})
    assert client.post("/api/v1/readings/", other, HTTP_IDEMPOTENCY_KEY=key(), **head).status_code == 404


def test_the_page_that_weighs_again(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    piece, _ = body(), bal_2()
    actions.weigh(builders.saar(), piece, Decimal("120.4"), state="wet", at=ago(48))
    assert "120.4" in client.get("/casts/2016.1/4/weigh/").content.decode()
    typed = {"mass_g": "408.1", "tare_g": "310", "tare_of": "tray T-9", "state": "air dry", "instrument": "Bal-2"}
    assert client.post("/casts/2016.1/4/weigh/", typed | {"key": key()}).status_code == 302
    assert mass_of(piece) == (Decimal("98.1"), "air dry")
    shown = client.get("/casts/2016.1/4/").content.decode()
    assert "98.1" in shown
    assert "120.4" in shown
    wrong = client.post("/casts/2016.1/4/weigh/", {"mass_g": "-2", "key": key()})
    assert wrong.status_code == 422
    assert client.post("/casts/2016.1/weigh/", {"mass_g": "7 kg", "key": key()}).status_code == 302


def test_the_list_of_weighings_asks_the_same_however_many(client: Any) -> None:
    builders.signed_in(client)
    actions.weigh(builders.saar(), body(), Decimal(5))
    few = asked(client, "/api/v1/weighings/")
    for n in range(10, 20):
        actions.weigh(builders.saar(), body(str(n)), Decimal(5))
    assert asked(client, "/api/v1/weighings/") == few


@pytest.mark.django_db(transaction=True)
def test_a_reading_sent_twice_at_one_instant_is_kept_once() -> None:
    saar, piece, balance = builders.saar(), body(), bal_2()
    deeds = [lambda: actions.weigh(saar, piece, Decimal("86.4"), instrument=balance, key="7") for _ in range(4)]
    results = at_once(deeds)
    assert {type(r) for r in results} == {Measurement}, results
    assert Measurement.objects.count() == 1
