"""Every page of this room: opened by each role, what is wrong named and kept, two hands on one record."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from catalog.excavations import actions
from catalog.excavations.models import Excavation, Permit, Site
from tests import builders
from tests.catalog.excavations import makers_digs as makers

pytestmark = pytest.mark.django_db


def full_station() -> Excavation:
    """One dig with everything, one without anything."""
    leave = makers.permit()
    zinc = makers.lot()
    makers.bags(3)
    dig = makers.placed(
        of=makers.dig(permit=leave, soil="sand over clay", depth_cm=62, people=[(makers.person_of("Saar Osei"), "dug")])
    )
    actions.record_pour(builders.saar(), dig.pk, {"lot": zinc, "mass_g": 6200, "recovered_g": 350})
    makers.lift(dig, ("BAG-1", "BAG-2"), from_cm=0, to_cm=14)
    actions.close_bag(builders.saar(), "BAG-1", "written off", "torn")
    actions.record_excavation(builders.saar(), {})
    return dig


ADDRESSES = [
    *("/excavations/", "/excavations/D-2025-1/", "/excavations/D-2025-1/history/", "/excavations/new/"),
    *("/excavations/D-2025-1/change/", "/excavations/D-2025-1/place/", "/excavations/D-2025-1/pours/new/"),
    *("/excavations/D-2025-1/lifts/new/", "/lifts/new/", "/bags/", "/bags/new/", "/bags/BAG-1/", "/bags/BAG-2/"),
    *("/bags/BAG-3/", "/bags/BAG-3/tie/", "/bags/BAG-2/close/", "/sites/", "/sites/new/", "/sites/{site}/"),
    *("/sites/{site}/change/", "/sites/{site}/category/", "/permits/", "/permits/new/", "/permits/{permit}/"),
    *("/permits/{permit}/change/", "/material-lots/", "/material-lots/new/", "/material-lots/z-4/"),
    *("/material-lots/Z-4/taken-in/", "/material-lots/Z-4/put-back/", "/material-lots/Z-4/lost/"),
    "/material-lots/Z-4/corrected/",
]
HEADS_ONLY = (
    "/sites/new/",
    "/sites/{site}/change/",
    "/sites/{site}/category/",
    "/permits/new/",
    "/permits/{permit}/change/",
)


def test_every_page_opens_for_who_may_and_only_for_them() -> None:
    full_station()
    ids = {"site": Site.objects.get().pk, "permit": Permit.objects.get().pk}
    reading = {
        a for a in ADDRESSES if not a.rstrip("/").endswith(("new", "change", "place", "tie", "close", "category"))
    }
    reading -= {a for a in ADDRESSES if a.startswith("/material-lots/Z-4/")}
    for name in builders.PEOPLE:
        client = builders.signed_in(Client(), name)
        bench = name in ("Imke Roodenburg", "Tobias Wren", "Saar Osei")
        for address in ADDRESSES:
            heads = name in ("Imke Roodenburg", "Tobias Wren")
            may = address in reading or (heads if address in HEADS_ONLY else bench)
            assert client.get(address.format(**ids)).status_code == (200 if may else 403), f"{name} {address}"
    for address in ADDRESSES:
        assert Client().get(address.format(**ids))["Location"].startswith("/sign-in/")


def test_an_empty_register_says_what_would_be_there(client: Any) -> None:
    builders.signed_in(client, "Lenno Haak")
    for address, words in (
        ("/excavations/", "No excavations yet."),
        ("/sites/", "No sites yet."),
        ("/permits/", "No permits yet."),
        ("/bags/", "No bags yet."),
        ("/material-lots/", "No lots yet."),
        ("/taxa/", "No names yet."),
    ):
        assert words in client.get(address).content.decode()
    assert "No excavation is all of that" in client.get("/excavations/?q=nowhere").content.decode()


def test_a_page_of_what_is_not_there_is_not_found(client: Any) -> None:
    builders.signed_in(client)
    for address in ("/excavations/D-1999-1/", "/bags/BAG-99/", "/material-lots/X-1/", "/sites/99/", "/permits/99/"):
        assert client.get(address).status_code == 404


CAUTIONS = {
    "/excavations/new/": [
        "Nobody pours or digs alone",
        "sides of a hole",
        "animals in the nest",
        "Check the law of the place; ask the authority",
    ],
    "/excavations/D-2025-1/pours/new/": [
        "Molten metal and damp ground",
        "Setting plaster gets hot",
        "Nobody pours or digs alone",
    ],
    "/lifts/new/": ["sides of a hole", "Dry plaster and soil dust"],
    "/permits/new/": ["Check the law of the place; ask the authority"],
}


@pytest.mark.parametrize("address", CAUTIONS)
def test_cautions_stand_where_the_act_is_recorded(client: Any, address: str) -> None:
    makers.dig()
    page = builders.signed_in(client).get(address).content.decode()
    assert all(words in page for words in CAUTIONS[address])
    if "permits" not in address:
        assert page.count('class="note caution"') == page.count(
            "Follow local codes and licensed practice."
        ) + page.count("ask the authority")


def test_a_dig_is_written_with_what_is_known_and_new_people_are_written_with_it(client: Any) -> None:
    site = makers.site()
    builders.signed_in(client, "Saar Osei")
    said = {
        "dug_on": "summer 2011",
        "site": str(site.pk),
        "people": "Saar Osei: poured\nJonna “Bee” O'Beck 🐝: held the torch",
        "depth_cm": "1,2 m",
        "bearing_deg": "115",
        "bearing_is": "magnetic",
        "depths_from": "the entrance's lower lip",
        "left_in_ground": "a plug of plaster",
        "left_mass_g": "~350",
        "taxon": "some bee",
    }
    refused = client.post("/excavations/new/", said)
    assert refused.status_code == 422
    assert "Put the name right, or tick that they are new." in refused.content.decode()
    written = client.post("/excavations/new/", said | {"new_people": "write", "key": "k" * 20})
    assert written["Location"] == "/excavations/D-2011-1/"
    dig = Excavation.objects.get()
    assert (dig.dug_on, str(dig.dug_earliest), str(dig.dug_latest)) == ("2011-22", "2011-06-01", "2011-08-31")
    assert (float(dig.depth_cm), float(dig.left_mass_g), dig.animal_words) == (120, 350, "some bee")
    assert {(p.person.name, p.did) for p in dig.people.all()} == {
        ("Saar Osei", "poured"),
        ("Jonna “Bee” O'Beck 🐝", "held the torch"),
    }
    page = client.get(dig.href).content.decode()
    for words in ("summer 2011", "O&#x27;Beck 🐝", "115°", "magnetic", "1.2", "a plug of plaster", "Some bee"):
        assert words in page


@pytest.mark.parametrize(
    "field, typed, sentence",
    [
        ("dug_on", "31 February", "does not exist"),
        ("dug_on", "31 February 2020", "does not exist"),
        ("dug_on", "2199", "has not come yet"),
        ("dug_on", "spring tide", "cannot read"),
        ("depth_cm", "-3", "below zero"),
        ("depth_cm", "9999999 km", "more than can be kept"),
        ("left_mass_g", "-3", "below zero"),
        ("left_mass_g", "1.500 g", "may be 1.5 g or 1500 g"),
        ("bearing_deg", "400", "0 to 360"),
        ("note", "x" * 10_001, "Shorten this"),
        ("permit", "999", "Choose one of the list"),
        ("people", "Nobody Known", "We do not know"),
    ],
)
def test_what_is_wrong_of_a_dig_is_named_and_kept(client: Any, field: str, typed: str, sentence: str) -> None:
    builders.signed_in(client, "Saar Osei")
    answer = client.post("/excavations/new/", {"weather": '🐚 "O\'Neill"', "bearing_is": "true", field: typed})
    assert answer.status_code == 422
    assert sentence in answer.content.decode().replace("\u202f", " ").replace("\xa0", " ")
    assert "O&#x27;Neill" in answer.content.decode()
    assert not Excavation.objects.exists()


@pytest.mark.parametrize(
    "field, typed, sentence",
    [
        ("mass_g", "-3", "below zero"),
        ("recovered_g", "7 kg", "cannot come back"),
        ("poured_on", "31 February 2020", "does not exist"),
        ("poured_on", "2199", "has not come yet"),
        ("temperature_c", "hot", "Write the temperature"),
        ("melt_minutes", "seven", "whole number"),
        ("by", "Nobody Known", "nobody we know"),
        ("note", "x" * 10_001, "Shorten this"),
    ],
)
def test_what_is_wrong_of_a_pour_is_named_and_kept(client: Any, field: str, typed: str, sentence: str) -> None:
    lot, dig = makers.lot(), makers.dig()
    builders.signed_in(client, "Saar Osei")
    said = {"lot": str(lot.pk), "mass_g": "6,2 kg", "mixture": 'gutters 🔥 & "scrap"', field: typed}
    answer = client.post(f"{dig.href}pours/new/", said)
    assert (answer.status_code, sentence in answer.content.decode()) == (422, True)
    assert "gutters 🔥 &amp; &quot;scrap&quot;" in answer.content.decode()
    assert not dig.pours.exists()
    assert lot.entries.count() == 1


def test_a_double_press_writes_one_dig(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    answers = [client.post("/excavations/new/", {"key": "same-key-" * 3}) for _ in range(2)]
    assert {a["Location"] for a in answers} == {answers[0]["Location"]}
    assert Excavation.objects.count() == 1


def test_two_change_one_dig_and_neither_is_lost(client: Any) -> None:
    dig = makers.dig()
    builders.signed_in(client, "Saar Osei")
    said = {"dug_on": "3 June 2025", "site": str(dig.site_id), "version": 1}
    assert client.post(f"{dig.href}change/", said | {"soil": "sand", "key": "a" * 20}).status_code == 302
    assert client.post(f"{dig.href}change/", said | {"weather": "dry", "key": "b" * 20}).status_code == 302
    both = client.post(f"{dig.href}change/", said | {"soil": "clay", "key": "c" * 20})
    assert both.status_code == 412
    assert "sand" in both.content.decode()
    assert "clay" in both.content.decode()
    dig.refresh_from_db()
    assert (dig.soil, dig.weather) == ("sand", "dry")
    chosen = said | {"soil": "clay", "version": dig.version, "take_soil": "mine", "weather": "dry", "key": "d" * 20}
    assert client.post(f"{dig.href}change/", chosen).status_code == 302
    dig.refresh_from_db()
    assert dig.soil == "clay"


def test_people_who_are_taken_off_the_list_were_not_there(client: Any) -> None:
    saar, tobias = makers.person_of("Saar Osei"), makers.person_of("Tobias Wren")
    dig = makers.dig(people=[(saar, "dug"), (tobias, "")])
    builders.signed_in(client, "Saar Osei")
    page = client.get(f"{dig.href}change/").content.decode()
    assert "Saar Osei: dug\nTobias Wren" in page
    said = {
        "dug_on": "3 June 2025",
        "site": str(dig.site_id),
        "people": "Tobias Wren: poured",
        "version": 1,
        "key": "k" * 20,
    }
    assert client.post(f"{dig.href}change/", said).status_code == 302
    assert [(p.person.name, p.did) for p in dig.people.all()] == [("Tobias Wren", "poured")]


def test_the_dig_that_would_be_the_fourth_says_so_on_its_form(client: Any) -> None:
    leave = makers.permit()
    for _ in range(3):
        makers.dig(permit=leave)
    builders.signed_in(client, "Saar Osei")
    said = {"dug_on": "2025-06-03", "permit": str(leave.pk), "site": str(leave.site_id)}
    refused = client.post("/excavations/new/", said)
    assert refused.status_code == 422
    assert "This would be the fourth nest under a permit for three." in refused.content.decode()
    written = client.post("/excavations/new/", said | {"permit_exception": "agreed by letter", "key": "k" * 20})
    page = client.get(written["Location"]).content.decode()
    assert "This is the fourth nest under a permit for three." in page
    assert "agreed by letter" in page


def test_permits_and_sites_are_written_on_their_pages(client: Any) -> None:
    builders.signed_in(client)
    wrong = client.post("/sites/new/", {"name": "High Dune", "country": "N1"})
    assert (wrong.status_code, "two letters" in wrong.content.decode()) == (422, True)
    made = client.post("/sites/new/", {"name": 'High "Dune" 🏖', "country": "nl", "key": "a" * 20})
    assert Site.objects.get().country == "NL"
    assert client.post("/sites/new/", {"name": 'high "dune" 🏖'}).status_code == 422
    assert "kept back: to 0.1 degree" in client.get(made["Location"], follow=True).content.decode().lower()
    said = {"kind": "collecting permit", "number": "NS-1", "from_on": "2025-05-01", "until_on": "2025-04-01"}
    wrong = client.post("/permits/new/", said)
    assert (wrong.status_code, "end before it begins" in wrong.content.decode()) == (422, True)
    assert client.post("/permits/new/", said | {"until_on": "30 September 2025", "key": "b" * 20}).status_code == 302
    paper = Permit.objects.get()
    changed = {"kind": paper.kind, "number": "NS-1", "most_nests": "3", "version": 1, "key": "c" * 20}
    assert client.post(f"{paper.href}change/", changed).status_code == 302
    assert client.post(f"{paper.href}change/", changed | {"most_nests": "5", "key": "d" * 20}).status_code == 412
