"""No list and no page asks more of the database when there is more in it; filters, counts and spreadsheets agree."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from catalog.excavations import actions
from tests import builders
from tests.catalog.excavations import makers_digs as makers

pytestmark = pytest.mark.django_db


def more(n: int, begin: int = 0) -> None:
    """n more of everything."""
    saar, tobias = makers.person_of("Saar Osei"), makers.person_of("Tobias Wren")
    codes = [b.code for b in makers.bags(2 * n)]
    for k in range(begin, begin + n):
        there = makers.site(f"Site {k}")
        leave = makers.permit(f"NS-{k}", site=there, given_by=tobias, holder=tobias)
        letter = makers.permit(f"letter {k}", kind="landowner's consent", site=there, most_nests=None)
        bee = builders.taxon(f"Andrena n{k}", "")
        dig = makers.dig(site=there, permit=leave, consent=letter, taxon=bee, people=[(saar, "dug"), (tobias, "")])
        makers.placed("54.35512, 5.20678", of=dig)
        lot = makers.lot(f"Z-{k}")
        actions.record_pour(builders.saar(), dig.pk, {"lot": lot, "mass_g": 100, "recovered_g": 5, "by": saar})
        makers.lift(dig, tuple(codes[2 * (k - begin) : 2 * (k - begin) + 2]), from_cm=0, to_cm=14, by=saar)


def queries(client: Client, address: str) -> int:
    client.get(address)
    with CaptureQueriesContext(
        connection,
    ) as caught:
        assert client.get(address).status_code == 200
    return len(caught)


PAGES = ["/excavations/", "/sites/", "/permits/", "/bags/", "/material-lots/", "/taxa/"]
API = ["excavations", "sites", "permits", "pours", "lifts", "bags", "material-lots", "taxa"]


@pytest.mark.parametrize("name", ["Imke Roodenburg", "Saar Osei"])
def test_no_list_asks_more_when_it_has_more_rows(name: str, settings: Any) -> None:
    settings.COUNT_KEPT_S = 600  # what waits on Today is counted by the first look, not by each list
    addresses = [*PAGES, *(f"{p}?format=json" for p in PAGES), *(f"/api/v1/{noun}/?limit=100" for noun in API)]
    client = builders.signed_in(Client(), name)
    more(2)
    few = {a: queries(client, a) for a in addresses}
    more(8, begin=2)
    assert {a: queries(client, a) for a in addresses} == few
    assert max(few.values()) < 30


@pytest.mark.parametrize("name", ["Imke Roodenburg", "Saar Osei"])
def test_the_page_of_a_dig_asks_no_more_for_thirty_lifts(name: str) -> None:
    more(1)
    dig, client = makers.placed(), builders.signed_in(Client(), name)
    lot = makers.lot("P-1", "plaster")

    def add(n: int) -> None:
        for bag in makers.bags(n):
            makers.lift(dig, (bag.code,), from_cm=1, to_cm=2, by=makers.person_of("Saar Osei"))
            actions.record_pour(builders.saar(), dig.pk, {"lot": lot, "mass_g": 10})

    add(2)
    few = queries(client, dig.href)
    add(12)
    assert queries(client, dig.href) == few


def test_today_asks_no_more_for_many_digs() -> None:
    from catalog.ground.asks import todays_work
    from catalog.ground.collection import read_once

    imke = builders.imke()
    counted = []
    for begin in (0, 2, 4):
        for _ in range(begin):
            actions.record_excavation(builders.saar(), {})
        with CaptureQueriesContext(connection) as caught, read_once():
            todays_work(imke)
        counted.append(len(caught))
    assert counted[1] == counted[2]


def test_the_spreadsheet_has_exactly_the_rows_that_are_chosen(client: Any) -> None:
    more(3)
    makers.dig(dug_on="2016-05")
    builders.signed_in(client, "Lenno Haak")
    page = client.get("/excavations/?year=2025&site=Site+1&site=Site+2").content.decode()
    assert "D-2016-1" not in page
    answer = client.get("/excavations/?year=2025&site=Site+1&site=Site+2&format=csv")
    rows = list(csv.DictReader(io.StringIO(b"".join(answer.streaming_content).decode("utf-8-sig"))))
    assert [r["site"] for r in rows] == ["Site 2", "Site 1"]
    assert {r["latitude"] for r in rows} == {"54.35000"}
    assert client.get("/excavations/?sort=place").status_code == 400
    assert client.get("/bags/?format=xlsx")["Content-Type"].endswith("sheet")


@pytest.mark.parametrize(
    "address, n",
    [
        ("/api/v1/excavations/?year=2016", 1),
        ("/api/v1/excavations/?site=Site 1,Site 2", 2),
        ("/api/v1/excavations/?q=andrena n1", 1),
        ("/api/v1/excavations/?year=twelve", 0),
        ("/api/v1/bags/?state=unused", 0),
        ("/api/v1/bags/?state=open&excavation=D-2025-1", 2),
        ("/api/v1/permits/?kind=collecting permit", 3),
        ("/api/v1/pours/?lot=z-1", 1),
        ("/api/v1/lifts/?excavation=d-2025-2", 1),
        ("/api/v1/material-lots/?material=zinc&q=Z-2", 1),
        ("/api/v1/sites/?category=2&sort=-name", 3 + 1),
        ("/api/v1/taxa/?q=n2", 1),
    ],
)
def test_filters_of_the_api(client: Any, address: str, n: int) -> None:
    more(3)
    makers.dig(dug_on="2016-05")
    answer = builders.signed_in(client, "Lenno Haak").get(address)
    assert (answer.status_code, answer.json()["count"]) == (200, n)


def test_an_unknown_filter_lists_the_known_ones(client: Any) -> None:
    answer = builders.signed_in(client, "Lenno Haak").get("/api/v1/excavations/?near=54.3,5.2")
    assert answer.status_code == 400
    assert "year" in answer.json()["known"]
