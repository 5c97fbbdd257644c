"""The API of this room: what it writes and refuses, and that its document says what it answers."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.test import Client

from catalog.excavations import actions
from catalog.excavations.api import around, digs, lifting, material
from catalog.excavations.models import Excavation
from catalog.taxa.api import TaxonOut
from tests import builders
from tests.catalog.excavations import makers_digs as makers

pytestmark = pytest.mark.django_db
_keys = iter(range(10**6))


def post(client: Client, noun: str, sent: dict[str, Any], key: str = "") -> Any:
    key = key or f"key-of-a-test-{next(_keys):06}"
    return client.post(
        f"/api/v1/{noun}/", json.dumps(sent), content_type="application/json", headers={"Idempotency-Key": key}
    )


def patch(client: Client, address: str, sent: dict[str, Any], tag: str) -> Any:
    return client.patch(
        f"/api/v1/{address}/", json.dumps(sent), content_type="application/json", headers={"If-Match": tag}
    )


def as_saar() -> Client:
    return builders.signed_in(Client(), "Saar Osei")


def as_imke() -> Client:
    return builders.signed_in(Client())


OUT = {
    "excavations": digs.DigOut,
    "sites": around.SiteOut,
    "permits": around.PermitOut,
    "pours": material.PourOut,
    "lifts": lifting.LiftOut,
    "bags": lifting.BagOut,
    "material-lots": material.LotOut,
    "material-lots/Z-4/lines": material.LineOut,
    "taxa": TaxonOut,
}


@pytest.mark.parametrize("noun", OUT)
def test_the_document_names_every_member_that_is_answered(noun: str) -> None:
    builders.taxon()
    makers.permit()
    makers.bags(1)
    dig = makers.placed()
    actions.record_pour(builders.saar(), dig.pk, {"lot": makers.lot(), "mass_g": 10})
    makers.lift(dig, ("BAG-1",))
    (shown, *_) = as_imke().get(f"/api/v1/{noun}/").json()["items"]
    assert set(shown) == set(OUT[noun]().fields) - {"doubts"}


def test_a_dig_is_written_and_changed_by_the_api() -> None:
    makers.site()
    builders.taxon()
    sent = {
        "site": "north creek",
        "dug_on": "about 1987",
        "taxon": "Upogebia deltaura",
        "depth_cm": "0,62 m",
        "people": [{"person": "Saar Osei", "did": "dug"}, {"person": "Jonna Beck", "new": True}],
    }
    client = as_saar()
    made = post(client, "excavations", sent)
    assert (made.status_code, made["Location"]) == (201, "/api/v1/excavations/D-1987-1/")
    shown = made.json()
    assert shown["dug_on"] == {"edtf": "1987~", "earliest": "1987-01-01", "latest": "1987-12-31"}
    assert ([p["name"] for p in shown["people"]], float(shown["depth_cm"])) == (["Saar Osei", "Jonna Beck"], 62)
    changed = patch(client, "excavations/D-1987-1", {"soil": "shell sand", "people": []}, made["ETag"])
    assert (changed.status_code, changed.json()["soil"], changed.json()["people"]) == (200, "shell sand", [])
    stale = patch(client, "excavations/D-1987-1", {"soil": "clay"}, made["ETag"])
    assert (stale.status_code, stale.json()["now"]["soil"]) == (412, "shell sand")


@pytest.mark.parametrize(
    "sent, pointer, sentence",
    [
        ({"dug_on": "31 February 2020"}, "/dug_on", "does not exist"),
        ({"dug_on": "2199-01-01"}, "/dug_on", "has not come yet"),
        ({"site": "Nowhere"}, "/site", "not a site of ours"),
        ({"permit": "NS-0"}, "/permit", "not a paper of ours"),
        ({"taxon": "Nemo"}, "/taxon", "animal_words"),
        ({"depth_cm": -3}, "/depth_cm", "below zero"),
        ({"depth_cm": True}, "/depth_cm", "Write the depth"),
        ({"left_mass_g": "-3"}, "/left_mass_g", "below zero"),
        ({"bearing_deg": 12}, "/bearing_is", "magnetic or true"),
        ({"note": "x" * 10_001}, "/note", "10000"),
        ({"people": [{"person": "Nobody"}]}, "/people/0/person", "nobody we know"),
        ({"exact": {"said": "54 N 5 E"}}, "/exact", "There is no 'exact' here"),
        ({"place": {"said": "95 N 5 E"}}, "/place/said", "off the planet"),
        ({"place": {"said": "54.3 5.2", "datum": "Mars"}}, "/place/datum", "Mars"),
    ],
)
def test_what_is_wrong_is_pointed_at_and_writes_nothing(sent: dict[str, Any], pointer: str, sentence: str) -> None:
    builders.actor("Saar Osei")
    answer = post(as_saar(), "excavations", sent)
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert (error["pointer"], sentence in error["detail"]) == (pointer, True)
    assert not Excavation.objects.exists()


def test_the_same_request_twice_writes_one_dig() -> None:
    client = as_saar()
    answers = [post(client, "excavations", {"note": "🐝"}, key="one-key-of-a-machine") for _ in range(2)]
    assert answers[0].json() == answers[1].json()
    assert Excavation.objects.count() == 1
    other = post(client, "excavations", {"note": "another"}, key="one-key-of-a-machine")
    assert other.status_code == 422
    assert client.post("/api/v1/excavations/", {}, content_type="application/json").status_code == 400


def test_permits_are_written_by_heads_and_held_against_digs() -> None:
    makers.site()
    sent = {
        "kind": "collecting permit",
        "number": "NS-1",
        "site": "North Creek",
        "most_nests": 1,
        "until_on": "30 September 2025",
    }
    assert post(as_saar(), "permits", sent).status_code == 403
    made = post(as_imke(), "permits", sent)
    assert (made.status_code, made.json()["until_on"]) == (201, "2025-09-30")
    client = as_saar()
    first = post(client, "excavations", {"permit": "NS-1", "dug_on": "2025-06-03"})
    assert (first.status_code, first.json()["permit_notes"]) == (201, [])
    second = post(client, "excavations", {"permit": "NS-1", "dug_on": "2025-06-04"})
    assert second.status_code == 422
    assert "This would be the second nest under a permit for one." in second.json()["detail"]
    allowed = post(client, "excavations", {"permit": "NS-1", "dug_on": "2025-06-04", "permit_exception": "minute 7"})
    assert allowed.json()["permit_notes"] == ["This is the second nest under a permit for one."]
    paper = as_imke().get(f"/api/v1/permits/{made.json()['uid']}/")
    assert paper.json()["n_nests"] == 2
    assert patch(as_imke(), f"permits/{made.json()['uid']}", {"most_nests": 3}, paper["ETag"]).json()["most_nests"] == 3


def test_a_site_is_kept_back_by_the_api_with_the_reason() -> None:
    client = as_imke()
    made = post(client, "sites", {"name": "High Dune", "region": "dunes"})
    uid = made.json()["uid"]
    assert made.json()["category"] == "2"
    assert post(as_saar(), f"sites/{uid}/category", {"category": "1", "ground": "x"}).status_code == 403
    assert post(client, f"sites/{uid}/category", {"category": "1", "ground": ""}).status_code == 422
    assert post(client, f"sites/{uid}/category", {"category": "1", "ground": "bees", "version": 9}).status_code == 412
    raised = post(client, f"sites/{uid}/category", {"category": "1", "ground": "a rare bee", "version": 1})
    assert (raised.status_code, raised.json()["category"], raised.json()["category_ground"]) == (201, "1", "a rare bee")
    changed = patch(client, f"sites/{uid}", {"country": "nl"}, raised["ETag"])
    assert changed.json()["country"] == "NL"


def test_lots_and_pours_by_the_api() -> None:
    dig, client = makers.dig(), as_saar()
    made = post(client, "material-lots", {"code": "z-4", "material": "zinc", "taken_in_g": "18,5 kg"})
    assert (made.status_code, made.json()["code"], float(made.json()["balance_g"])) == (201, "Z-4", 18500)
    poured = post(client, "pours", {"excavation": dig.number, "lot": "Z-4", "mass_g": 6200, "temperature_c": 450})
    assert (poured.status_code, poured.json()["material"], poured.json()["lot"]) == (201, "zinc", "Z-4")
    too_much = post(client, "pours", {"excavation": dig.number, "lot": "Z-4", "mass_g": "20 kg"})
    assert (too_much.status_code, "There are 12.3" in too_much.json()["detail"]) == (409, True)
    drawn = post(client, "material-lots/Z-4/lines", {"kind": "drawn", "mass_g": 5})
    assert drawn.status_code == 422
    lost = post(client, "material-lots/Z-4/lines", {"kind": "lost", "mass_g": 300, "words": "spilled"})
    assert (lost.status_code, float(lost.json()["mass_g"]), float(lost.json()["balance_after_g"])) == (201, -300, 12000)
    assert [float(x["mass_g"]) for x in client.get("/api/v1/material-lots/z-4/lines/").json()["items"]] == [
        -300,
        -6200,
        18500,
    ]


def test_names_of_animals_by_the_api() -> None:
    client = builders.signed_in(Client(), "Ottilie Brandt")
    made = post(client, "taxa", {"name": "Lasius flavus", "author": "(Fabricius, 1782)", "common_name": "meadow ant"})
    assert made.status_code == 201
    twice = post(client, "taxa", {"name": "lasius flavus", "author": "(Fabricius, 1782)"})
    assert (twice.status_code, twice.json()["errors"][0]["remedy"]) == (422, f"/taxa/{made.json()['id']}/")
    uid = made.json()["uid"]
    assert patch(client, f"taxa/{uid}", {"family": "Formicidae"}, made["ETag"]).json()["family"] == "Formicidae"
    assert builders.signed_in(Client(), "Lenno Haak").get(f"/api/v1/taxa/{made.json()['id']}/").status_code == 200
    assert post(builders.signed_in(Client(), "Lenno Haak"), "taxa", {"name": "Apis"}).status_code == 403
