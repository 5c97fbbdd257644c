"""No list asks the database more often when it shows more rows: every page and every list of the API, found by walking."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.db import connection
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
    with CaptureQueriesContext(
        connection,
    ) as asked:
        answer = client.get(address)
    said = [q["sql"] for q in asked.captured_queries]
    return (len(said) if answer.status_code == 200 else 0), said


def _most_repeated(few: list[str], many: list[str]) -> str:
    heads = [sql[:60] for sql in many]
    return max(set(heads), key=lambda head: heads.count(head) - sum(sql.startswith(head) for sql in few))


@pytest.mark.django_db
def test_every_list_of_the_api_asks_as_often_for_two_rows_as_for_all() -> None:
    the_demo()
    client, station, wrong, seen = builders.signed_in(Client(), "Imke Roodenburg"), samples(), [], 0
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
            wrong.append(
                f"{address}: {few} for two rows, {many} for {answer.json()['count']}: {_most_repeated(first, whole)}"
            )
    assert seen > 15
    assert not wrong, "\n".join(wrong)


@pytest.mark.django_db
def test_every_list_of_the_api_is_read_page_by_page_to_its_end_in_every_order() -> None:
    the_demo()
    client, station, wrong = builders.signed_in(Client(), "Imke Roodenburg"), samples(), []
    for door in doors():
        sorts = getattr(door.view, "sorts", None)
        if not door.api or "GET" not in door.acts or not sorts:
            continue
        address = address_of(door, station)
        for sort in [*sorts, *(f"-{name}" for name in sorts)]:
            first: Any = client.get(f"{address}?sort={sort}&limit=100")
            if first.status_code != 200 or "items" not in first.json():
                break
            found, following = [], f"{address}?sort={sort}&limit=7"
            while following and len(found) < 300:
                answer = client.get(following)
                assert answer.status_code == 200, f"{following}: {answer.content[:200]!r}"
                found += [json.dumps(item) for item in answer.json()["items"]]
                following = answer.json()["next"]
            if len(set(found)) != first.json()["count"] or len(found) != len(set(found)):
                wrong.append(
                    f"{address} by {sort}: {len(found)} rows, {len(set(found))} of them different, of {first.json()['count']}"
                )
    assert not wrong, "\n".join(wrong)


@pytest.mark.django_db
def test_every_page_asks_as_often_for_two_rows_as_for_all(monkeypatch: pytest.MonkeyPatch) -> None:
    the_demo()
    client, station, wrong, seen = builders.signed_in(Client(), "Imke Roodenburg"), samples(), [], 0
    for door in doors():
        if door.api or "GET" not in door.acts or door.route.startswith(_NO_LISTS) or ".pdf" in door.route:
            continue
        address = address_of(door, station)
        _set_rows(monkeypatch, 40)
        many, whole = _queries(client, address)
        _set_rows(monkeypatch, 2)
        few, first = _queries(client, address)
        seen += many > 0
        if many > few + _PREFETCHES:
            wrong.append(f"{address}: {few} for two rows, {many} for all: {_most_repeated(first, whole)}")
    assert seen > 80
    assert not wrong, "\n".join(wrong)


def _set_rows(monkeypatch: pytest.MonkeyPatch, n: int) -> None:
    monkeypatch.setattr(lists, "PER_PAGE", n)
    monkeypatch.setattr(places, "_ROWS", n)
