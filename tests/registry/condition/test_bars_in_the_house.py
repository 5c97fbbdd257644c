"""What is barred, as the rest of the house hears of it: crates, pieces, lists, Today, histories, the API."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from catalog.casts.models import Cast
from catalog.casts.subject import Subject, what_hinders, what_hinders_any
from catalog.ground.asks import history_of, todays_work
from catalog.ground.collection import today
from registry.condition.actions import lift_restriction, restrict
from registry.condition.models import Restriction
from registry.condition.said import RestrictionSaid
from tests import builders

pytestmark = pytest.mark.django_db
HEAT = "it is softened by heat"


def bar(cast: Any, deed: str = "lend", piece: Any = None, **more: Any) -> Restriction:
    builders.tobias()
    return restrict(builders.ottilie(), Subject(cast, piece), RestrictionSaid(deed, HEAT, **more))


def test_a_refusal_says_what_why_since_when_and_who_may_lift_it() -> None:
    since = today() - timedelta(days=3)
    bar(builders.cast("2019.3"), since=since)
    (reason,) = what_hinders(Subject(Cast.objects.get(number="2019.3")), "lend")
    said = f"2019.3 cannot be lent: it is softened by heat, since {since.day}\u00a0"
    assert reason.sentence.startswith(said)
    assert reason.sentence.endswith("Tobias Wren may lift it.")


def test_a_bar_on_a_piece_holds_the_whole_cast_and_no_other_piece() -> None:
    cast = builders.cast()
    barred, free = builders.piece(cast, "1"), builders.piece(cast, "2")
    bar(cast, "move", piece=barred)
    assert "2016.1.1 cannot be moved" in what_hinders(Subject(cast), "move")[0].sentence
    assert what_hinders(Subject(cast, barred), "move")
    assert what_hinders(Subject(cast, free), "move") == []
    assert what_hinders(Subject(cast), "lend") == []


def test_a_crate_full_is_asked_of_in_one_query() -> None:
    casts = [builders.cast(f"2016.{n}") for n in range(1, 31)]
    bar(casts[3], "move")
    subjects = [Subject(c) for c in casts]
    with CaptureQueriesContext(connection) as queries:
        found = what_hinders_any(subjects, "move")
    assert ["2016.4 cannot be moved" in r.sentence for r in found] == [True]
    assert len(queries) == 4  # the restrictions, the collection's day, what is on a mount, what is closed below one


def test_the_keeper_hears_of_a_bar_whose_last_day_is_over() -> None:
    cast = builders.cast()
    barred = bar(cast, since=today() - timedelta(days=30), until=today() - timedelta(days=1))

    def waits(reader: Any) -> list[str]:
        return [d.sentence for d in todays_work(reader) if d.number == "2016.1" and "until" in d.sentence]

    assert "2016.1 was not to be lent until " in waits(builders.tobias())[0]
    assert waits(builders.saar()) == []
    lift_restriction(builders.tobias(), barred.pk, "cool again")
    assert waits(builders.tobias()) == []


def test_the_list_of_casts_is_narrowed_to_what_is_barred(client: Any) -> None:
    bar(builders.cast("2016.1"))
    builders.cast("2016.2")
    builders.signed_in(client, "Lenno Haak")
    page = client.get("/casts/?restriction=barred").content.decode()
    assert "/casts/2016.1/" in page
    assert "/casts/2016.2/" not in page
    assert "something is barred" in page


def test_history_and_page_of_a_piece_say_what_bars_it(client: Any) -> None:
    cast = builders.cast()
    piece, other = builders.piece(cast, "1"), builders.piece(cast, "2")
    barred = bar(cast, "touch", piece=piece)
    bar(cast, "lend")
    builders.signed_in(client, "Ottilie Brandt")
    page = client.get(piece.href).content.decode()
    assert "2016.1.1 cannot be touched" in page
    assert "2016.1 cannot be lent" in page
    assert "?piece=1" in page
    assert "cannot be touched" not in client.get(other.href).content.decode()
    lift_restriction(builders.tobias(), barred.pk, "dry again")
    said = [e.sentence for e in history_of(builders.tobias(), piece)]
    assert "Not to be touched: it is softened by heat" in said
    assert "May be touched again: dry again" in said


def test_a_piece_is_barred_by_its_page(client: Any) -> None:
    cast = builders.cast()
    piece = builders.piece(cast, "3")
    builders.signed_in(client, "Ottilie Brandt")
    address = "/casts/2016.1/restrictions/new/?piece=3"
    said = {"deed": "treat", "why": HEAT, "said_by": "Nobody at all"}
    refused = client.post(address, said)
    assert refused.status_code == 422
    assert "not one person on record here" in refused.content.decode()
    done = client.post(address, said | {"said_by": "Ottilie Brandt"})
    assert (done.status_code, done["Location"]) == (302, piece.href)
    made = Restriction.objects.get()
    assert (made.piece, made.said_by.name, made.since) == (piece, "Ottilie Brandt", today())


@pytest.mark.parametrize("name, may_bar, may_lift", [
    ("Imke Roodenburg", True, False), ("Tobias Wren", True, True), ("Ottilie Brandt", True, False),
    ("Saar Osei", False, False), ("Lenno Haak", False, False),
])  # fmt: skip
def test_each_role_is_offered_what_it_may(client: Any, name: str, may_bar: bool, may_lift: bool) -> None:
    cast = builders.cast()
    barred = bar(cast)
    builders.signed_in(client, name)
    page = client.get(cast.href).content.decode()
    assert ("Bar a deed" in page, "Lift it" in page) == (may_bar, may_lift)
    assert (client.get(f"{cast.href}restrictions/new/").status_code == 200) == may_bar
    assert (client.get(f"/restrictions/{barred.pk}/lift/").status_code == 200) == may_lift


@pytest.mark.parametrize(
    "wrong, pointer",
    [({"what": "2099.1"}, "/what"), ({"deed": "eat"}, "/deed"), ({"why": ""}, "/why"), ({"said_by": "Nobody"}, "/said_by"),
     ({"since": "2099-01-01"}, "/since"), ({"until": "2001-01-01"}, "/until"), ({"who": "me"}, "/who")],
)  # fmt: skip
def test_the_api_names_what_is_wrong(client: Any, wrong: dict[str, Any], pointer: str) -> None:
    builders.cast("2019.3")
    builders.signed_in(client, "Ottilie Brandt")
    body = {"what": "2019.3", "deed": "lend", "why": HEAT} | wrong
    headers = {"Idempotency-Key": "barred-wrongly-0001"}
    answer = client.post("/api/v1/restrictions/", body, content_type="application/json", headers=headers)
    assert answer.status_code == 422, answer.content
    assert answer.json()["errors"][0]["pointer"] == pointer
    assert not Restriction.objects.exists()


def test_the_api_lists_what_bars_today_in_as_many_queries_with_30_rows_as_with_3(client: Any) -> None:
    builders.signed_in(client, "Lenno Haak")

    def asked() -> int:
        client.get("/api/v1/restrictions/")
        with CaptureQueriesContext(connection) as queries:
            assert client.get("/api/v1/restrictions/").status_code == 200
        return len(queries)

    for n in range(1, 4):
        cast = builders.cast(f"2016.{n}")
        bar(cast, piece=builders.piece(cast, "1"))
    few = asked()
    for n in range(4, 31):
        bar(
            builders.cast(f"2016.{n}"),
            until=today() - timedelta(days=1) if n > 20 else None,
            since=today() - timedelta(days=9),
        )
    assert asked() == few
    assert client.get("/api/v1/restrictions/?in_force=true").json()["count"] == 20
    one = client.get("/api/v1/restrictions/?cast=2016.30").json()["items"][0]
    assert (one["in_force"], one["deed"], one["who_may_lift"]) == (False, "lend", "Tobias Wren")
