"""No list asks the database more often when it shows more rows: every page and every list of the API, found by walking."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.db import connection, reset_queries, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext

from catalog.ground import lists
from registry.places.pages import places
from tests import builders
from tests.doors import address_of, doors, samples
from tests.stories.demo import the_demo

# a second look at what the first rows had not: a prefetch through rows that hold nothing is left out by Django
_PREFETCHES = 3
# what ends the session; a paper is no list, and writes what was printed
_NO_LISTS = ("sign-out/", "me/sessions/end/", "register/papers/")


def _queries(client: Client, address: str) -> tuple[int, list[str]]:
    reset_queries()  # the log holds no more than 9 000
    # a request is a transaction of its own: what one broke off, the next does not feel
    before = transaction.savepoint()
    with CaptureQueriesContext(connection) as asked:
        answer = client.get(address)
    transaction.savepoint_rollback(before)
    assert answer.status_code != 500, address
    said = [q["sql"] for q in asked.captured_queries]
    return (len(said) if answer.status_code == 200 else 0), said


def _most_repeated(few: list[str], many: list[str]) -> str:
    heads = [sql[:60] for sql in many]
    return max(set(heads), key=lambda head: heads.count(head) - sum(sql.startswith(head) for sql in few))


@pytest.fixture
def station(settings: Any) -> dict[str, dict[str, Any]]:
    """The demo. What waits for somebody is counted once, as in a house that serves."""
    settings.COUNT_KEPT_S = 600
    the_demo()
    return samples()


@pytest.mark.django_db
def test_a_list_of_the_api_asks_as_often_for_two_rows_as_for_all_and_is_read_to_its_end_in_every_order(
    station: dict[str, Any],
) -> None:
    client, wrong, seen = builders.signed_in(Client(), "Imke Roodenburg"), [], 0
    for door in doors():
        if not door.api or "GET" not in door.acts:
            continue
        address = address_of(door, station)
        answer: Any = client.get(address)
        if answer.status_code != 200 or answer["Content-Type"] != "application/json" or "items" not in answer.json():
            continue
        seen += 1
        (few, first), (many, whole) = _queries(client, f"{address}?limit=2"), _queries(client, f"{address}?limit=100")
        if many > few + _PREFETCHES:
            wrong.append(f"{address}: {few} for two rows, {many} for all: {_most_repeated(first, whole)}")
        n = answer.json()["count"]
        for sort in getattr(door.view, "sorts", {}):
            for by in (sort, f"-{sort}"):
                found = _read_to_the_end(client, f"{address}?sort={by}&limit={7 if n < 60 else 60}")
                if len(found) != n or len(set(found)) != n:
                    wrong.append(f"{address} by {by}: {len(found)} rows, {len(set(found))} of them different, of {n}")
    assert seen > 15
    assert not wrong, "\n".join(wrong)


def _read_to_the_end(client: Client, following: str) -> list[str]:
    found: list[str] = []
    while following and len(found) < 3000:
        answer: Any = client.get(following)
        assert answer.status_code == 200, f"{following}: {answer.content[:200]!r}"
        found += [json.dumps(item) for item in answer.json()["items"]]
        following = answer.json()["next"]
    return found


@pytest.mark.django_db
def test_every_page_asks_as_often_for_two_rows_as_for_all(
    station: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    client, wrong, seen = builders.signed_in(Client(), "Imke Roodenburg"), [], 0
    for door in doors():
        if door.api or "GET" not in door.acts or door.route.startswith(_NO_LISTS) or ".pdf" in door.route:
            continue
        address = address_of(door, station)
        _set_rows(monkeypatch, 40)
        many, whole = _queries(client, address)
        _set_rows(monkeypatch, 2)
        few, first = _queries(client, address)
        seen += many > 0
        if many > few + _PREFETCHES:  # the first look may have counted anew what waits; rows ask more every time
            _set_rows(monkeypatch, 40)
            many, whole = _queries(client, address)
        if many > few + _PREFETCHES:
            wrong.append(f"{address}: {few} for two rows, {many} for all: {_most_repeated(first, whole)}")
    assert seen > 80
    assert not wrong, "\n".join(wrong)


def _set_rows(monkeypatch: pytest.MonkeyPatch, n: int) -> None:
    monkeypatch.setattr(lists, "PER_PAGE", n)
    monkeypatch.setattr(places, "_ROWS", n)


@pytest.mark.django_db
@pytest.mark.parametrize("said", ["abc", "2026abc", "99999999999999999999", "²"])
def test_what_is_no_number_finds_nothing_and_breaks_nothing(said: str) -> None:
    client = builders.signed_in(Client(), "Imke Roodenburg")
    builders.piece(builders.cast())
    builders.excavation()
    for address in ("/incidents/?year=", "/register/?year=", "/excavations/?year=", "/casts/2016.1/pieces/?lift="):
        answer = client.get(address + said)
        assert answer.status_code == 200, address
        assert "D-2026-1" not in answer.content.decode(), address
