"""What places say to Today, to the box and to the list of casts."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from catalog.casts.subject import Subject, columns
from catalog.ground.asks import bearer_of, todays_work
from catalog.ground.collection import today
from registry.places import actions
from tests import builders
from tests.registry.places.makers_places import carry, put, tree

pytestmark = pytest.mark.django_db


def late(reader: Any) -> dict[str, str]:
    return {d.number: d.sentence for d in todays_work(reader) if d.weight == "late" and d.number}


def test_what_is_past_its_day_waits_for_whoever_moves_things() -> None:
    places, cast = tree(), builders.cast("2016.4")
    yesterday = today() - timedelta(days=1)
    put(cast, places["H"], days_ago=9, back_on=yesterday)
    carry(places["T-7"], places["H"], days_ago=9, back_on=yesterday)
    said = late(builders.saar())
    assert "it is still in Stair hall" in said["2016.4"]
    assert "it is still in Stair hall" in said["T-7"]
    assert late(builders.lenno()) == {}
    put(cast, places["B-3"])
    carry(places["T-7"], places["B-3"])
    assert late(builders.saar()) == {}


def test_what_stands_in_a_van_for_more_than_a_day_is_an_alarm() -> None:
    places, old, fresh = tree(), builders.cast("2016.1"), builders.cast("2016.2")
    put(old, places["VAN-1"], days_ago=1.2)
    put(fresh, places["VAN-1"], days_ago=0.5)
    carry(places["K-12"], places["VAN-1"], days_ago=2)
    put(builders.cast("2016.3"), places["K-12"], days_ago=0.3)
    said = late(builders.saar())
    assert set(said) == {"2016.1", "K-12"}
    assert "2016.1 is in Van 1 since " in said["2016.1"]
    actions.move(builders.imke(), Subject(old), places["B-3"])
    carry(places["K-12"], places["B-3"])
    assert late(builders.saar()) == {}


@pytest.mark.parametrize(
    "typed, kind", [("K-12", "container"), ("k 12", "container"), ("b-3", "place"), ("B", "place")]
)
def test_a_code_is_borne_by_its_place(typed: str, kind: str) -> None:
    tree()
    found = [b for b in bearer_of(builders.saar(), typed) if b.kind in ("place", "container")]
    assert [(b.kind, b.href) for b in found] == [(kind, f"/places/{typed.upper().replace(' ', '-')}/")]


def test_the_list_of_casts_shows_place_and_holder_in_one_query(client: Any) -> None:
    places = tree()
    museum = builders.person("Museum of the Low Shore", kind="body")
    for n in range(1, 4):
        cast = builders.cast(f"2016.{n}")
        put(cast, places["K-12" if n < 3 else "H"])
        actions.take_custody(builders.imke(), cast, at=timezone.now() - timedelta(days=3))
    actions.take_custody(builders.imke(), cast, holder=museum, ours=False)
    from catalog.casts.lists import annotated

    with CaptureQueriesContext(connection) as queries:
        rows = {c.number: c for c in annotated(builders.saar())}
    assert len([q for q in queries if '"catalog_cast"' in q["sql"]]) == 1
    mine = {c.name: c for c in columns()}
    shown = {n: (mine["place"].value(row), mine["holder"].value(row)) for n, row in rows.items()}
    assert shown["2016.1"] == ("Crate 12, K-12", "we")
    assert shown["2016.3"] == ("Stair hall, H", "Museum of the Low Shore")
    builders.signed_in(client, "Saar Osei")
    page = client.get("/casts/?place=K-12").content.decode()
    assert "Where?" in page
    assert "Crate 12, K-12" in page
    assert "2016.1" in page
    assert "/casts/2016.3/" not in page
    assert "/casts/2016.3/" in client.get("/casts/?holder=Museum of the Low Shore").content.decode()
    assert "Who has it?" in page
    narrowed = client.get("/casts/?within=ST&material=plaster").content.decode()
    assert "within: ST" in narrowed
    assert '<input type="hidden" name="within" value="ST">' in narrowed
    assert "/casts/2016.3/" not in narrowed
    by_place = client.get("/casts/?sort=place").content.decode()
    assert by_place.index("/casts/2016.3/") < by_place.index("/casts/2016.1/")


def test_a_visitor_learns_no_place(client: Any) -> None:
    places, cast = tree(), builders.cast()
    put(cast, places["K-12"])
    with builders.by_hand():
        from catalog.ground.acting import store

        cast.published_on = today()
        store(cast)
    for address in ("/casts/", "/api/v1/casts/", "/api/v1/casts/2016.1/", "/casts/?place=K-12", "/casts/?within=ST"):
        answer = client.get(address)
        assert "Crate 12" not in answer.content.decode()
        assert '"place"' not in answer.content.decode()
    assert client.get("/api/v1/places/").status_code == 401


def test_a_place_is_found_by_its_name_and_by_what_it_stands_in(client: Any) -> None:
    tree()
    builders.signed_in(client, "Saar Osei")

    def offered(words: str) -> list[str]:
        return [i["value"] for i in client.get("/find/suggest/", {"kind": "place", "q": words}).json()["items"]]

    assert "B-3" in offered("bay b shelf")
    assert set(offered("shelf 3")[:2]) == {"A-3", "B-3"}
    actions.change_place(builders.imke(), tree_place("B").pk, {"name": "Bay Beta"})
    assert offered("beta shelf")[0] == "B-3"


def tree_place(code: str) -> Any:
    from registry.places.models import Place

    return Place.objects.get(code=code)
