"""Lifts and bags: codes printed beforehand, tied by the first scan also without signal, each ended with a word."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from catalog.excavations import actions
from catalog.excavations.models import Bag, Lift
from catalog.ground.collection import local, today
from catalog.ground.refusal import Hindered, Refusal
from tests import builders
from tests.catalog.excavations import makers_digs as makers

pytestmark = pytest.mark.django_db


def test_codes_are_made_before_they_are_used_and_never_twice() -> None:
    assert [b.code for b in makers.bags(3)] == ["BAG-1", "BAG-2", "BAG-3"]
    assert [b.code for b in makers.bags(1)] == ["BAG-4"]
    with pytest.raises(Refusal, match="From 1 to 200"):
        makers.bags(201)


def test_the_first_scan_ties_a_bag_and_the_other_label_of_the_pair_changes_nothing() -> None:
    makers.bags(2)
    lift = makers.lift(bags=("bag-1", "BAG-1", "BAG-2"))
    assert [b.code for b in lift.bags.order_by("pk")] == ["BAG-1", "BAG-2"]
    bag = Bag.objects.get(code="BAG-1")
    again = actions.tie_bag(builders.saar(), "https://tarn.example/q/BAG-1/", lift)
    assert (again.pk, again.version, again.tied_by.name) == (bag.pk, bag.version, "Saar Osei")


def test_a_bag_belongs_to_one_lift_for_good() -> None:
    makers.bags(1)
    dig = makers.dig()
    makers.lift(dig, ("BAG-1",))
    with pytest.raises(Hindered, match="BAG-1 is tied to lift 1 of D-2025-1 already"):
        makers.lift(dig, ("BAG-1",))
    assert Lift.objects.count() == 1


def test_a_code_that_was_never_printed_is_not_made_up() -> None:
    with pytest.raises(Refusal, match="“BAG-99” is not a bag of ours"):
        makers.lift(bags=("BAG-99",))
    assert not Lift.objects.exists()


def test_every_bag_ends_once() -> None:
    makers.bags(3)
    makers.lift(bags=("BAG-1", "BAG-2"))
    saar = builders.saar()
    assert actions.close_bag(saar, "BAG-1", "inventoried").closed_on == today()
    with pytest.raises(Hindered, match="closed already: inventoried"):
        actions.close_bag(saar, "BAG-1", "written off", "torn")
    with pytest.raises(Hindered, match="Write why it is written off"):
        actions.close_bag(saar, "BAG-2", "written off", " ")
    with pytest.raises(Hindered, match="never tied to a lift"):
        actions.close_bag(saar, "BAG-3", "inventoried")
    with pytest.raises(Hindered, match="Write that day or a later one"):
        actions.close_bag(saar, "BAG-2", "inventoried", on=date(2020, 1, 1))
    with pytest.raises(Hindered, match="has not come yet"):
        actions.close_bag(saar, "BAG-2", "inventoried", on=today() + timedelta(days=1))
    with pytest.raises(Hindered, match="closed already"):
        makers.lift(bags=("BAG-1",))
    assert actions.close_bag(saar, "BAG-3", "written off", "label torn").ground == "label torn"


def test_lifts_are_counted_within_their_dig_and_go_down() -> None:
    one, other = makers.dig(), makers.dig()
    assert [makers.lift(d).n for d in (one, other, one)] == [1, 1, 2]
    with pytest.raises(Refusal, match="from the shallower depth to the deeper one: from 12 to 14"):
        makers.lift(one, from_cm=14, to_cm=12)
    assert makers.lift(one, from_cm=0, to_cm=14).depths == "0 to 14 cm"


def test_what_was_lifted_on_friday_is_sent_on_monday() -> None:
    makers.bags(1)
    friday = timezone.now() - timedelta(days=3)
    lift = actions.record_lift(builders.saar(), makers.dig().pk, {}, bags=["BAG-1"], at=friday)
    assert lift.lifted_on == local(friday).date().isoformat()
    assert Bag.objects.get().tied_at == friday


def test_a_clock_that_runs_ahead_ties_no_bag_tomorrow() -> None:
    makers.bags(1)
    lift = actions.record_lift(
        builders.saar(), makers.dig().pk, {}, bags=["BAG-1"], at=timezone.now() + timedelta(days=2)
    )
    assert lift.lifted_on == today().isoformat()
    assert Bag.objects.get().tied_at <= timezone.now()


def test_a_phone_sends_the_fields_of_the_page_once_and_no_twice() -> None:
    """The outbox: fields of the form, the device's hour, and one key however often it is sent."""
    makers.bags(2)
    dig, friday = makers.dig(), timezone.now() - timedelta(days=3)
    client = builders.signed_in(Client(), "Saar Osei")
    fields = {
        "excavation": dig.number,
        "from_cm": "14 cm",
        "to_cm": "0,29 m",
        "bags": "BAG-1\nBAG-2",
        "up_marked": "yes",
        "by": str(builders.saar().person_id),
        "made_at": friday.isoformat(),
    }
    answers = [client.post("/api/v1/lifts/", fields, headers={"Idempotency-Key": "p" * 32}) for _ in range(2)]
    assert [a.status_code for a in answers] == [201, 201]
    assert answers[0].json() == answers[1].json()
    assert answers[1]["Kept-Answer"] == "true"
    shown = answers[0].json()
    assert (shown["number"], shown["bags"], shown["up_marked"]) == ("lift 1 of D-2025-1", ["BAG-1", "BAG-2"], True)
    assert (float(shown["from_cm"]), float(shown["to_cm"]), shown["by"]) == (14, 29, "Saar Osei")
    assert Lift.objects.count() == 1


def test_a_kept_lift_that_is_refused_says_why() -> None:
    client = builders.signed_in(Client(), "Saar Osei")
    sent = {"excavation": "D-1999-9", "bags": "BAG-1"}
    answer = client.post("/api/v1/lifts/", sent, headers={"Idempotency-Key": "p" * 32})
    assert (answer.status_code, answer.json()["detail"]) == (
        422,
        "This is not an excavation of ours. Write it first.",
    )


def test_the_lift_page_is_kept_on_the_phone_and_its_fields_are_the_apis(client: Any) -> None:
    from catalog.excavations.api.lifting import LiftIn
    from catalog.excavations.forms import LiftForm

    page = builders.signed_in(client, "Saar Osei").get("/lifts/new/?bags=BAG-7").content.decode()
    assert 'data-outbox data-api="/api/v1/lifts/"' in page
    assert "BAG-7" in page
    fields = set(LiftForm(actor=builders.saar()).fields) - {"version", "key"}
    assert fields <= set(LiftIn().fields)


def test_the_life_of_a_bag_on_its_pages(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    made = client.post("/bags/new/", {"n": "2", "key": "a" * 20})
    assert made["Location"] == "/labels/?kind=bag&of=BAG-1,BAG-2"
    assert "It is not tied to a lift yet" in client.get("/bags/bag-1/").content.decode()
    dig = makers.dig()
    said = {"excavation": dig.number, "from_cm": "0", "to_cm": "14", "bags": "BAG-1", "key": "b" * 20}
    assert client.post("/lifts/new/", said)["Location"] == dig.href
    tied = client.post("/bags/BAG-2/tie/", {"lift": str(Lift.objects.get().pk), "key": "c" * 20})
    assert tied["Location"] == "/bags/BAG-2/"
    assert "Its pieces are not listed yet" in client.get("/bags/BAG-2/").content.decode()
    refused = client.post("/bags/BAG-2/close/", {"outcome": "written off", "version": 2})
    assert (refused.status_code, "Write why it is written off" in refused.content.decode()) == (422, True)
    ended = client.post("/bags/BAG-2/close/", {"outcome": "inventoried", "version": 2, "key": "d" * 20})
    assert ended.status_code == 302
    assert "Its pieces are listed" in client.get("/bags/BAG-2/").content.decode()


def test_a_bag_is_closed_by_the_api_with_the_version_that_was_seen() -> None:
    makers.bags(1)
    makers.lift(bags=("BAG-1",))
    client = builders.signed_in(Client(), "Saar Osei")
    tag = client.get("/api/v1/bags/BAG-1/")["ETag"]
    sent = {"outcome": "written off", "ground": "empty when it was opened"}
    told = {"content_type": "application/json"}
    assert client.patch("/api/v1/bags/bag-1/", sent, **told).status_code == 428
    assert client.patch("/api/v1/bags/bag-1/", sent, headers={"If-Match": '"v1"'}, **told).status_code == 412
    done = client.patch("/api/v1/bags/bag-1/", sent, headers={"If-Match": tag}, **told)
    assert (done.status_code, done.json()["state"]) == (200, "written off")
