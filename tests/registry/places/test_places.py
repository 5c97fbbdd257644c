"""The place tree: what a place is called, what stands in it, how it is made, changed and closed."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from catalog.casts.subject import Subject
from catalog.ground.refusal import NotFound, Refusal
from registry.places import actions, reads, rules
from registry.places.models import Place
from tests import builders
from tests.registry.places.makers_places import asked, carry, put, tree

pytestmark = pytest.mark.django_db


def test_a_place_is_said_as_people_say_it() -> None:
    assert rules.at_place("B-3", "Shelf 3", "shelf", movable=False, within="bay B") == "on shelf 3 in bay B"
    assert rules.at_place("K-12", "Crate 12", "crate", movable=True) == "in K-12"
    assert rules.at_place("OUT-M", "Museum of the Low Shore", "outside", movable=False) == "at Museum of the Low Shore"
    assert rules.now_there("K-12", "on shelf 3", 14) == "K-12 is now on shelf 3, with 14 pieces."
    assert rules.now_there("2016.1", "on shelf 3", 0) == "2016.1 is now on shelf 3."


@pytest.mark.parametrize(
    "typed", ["B-3", "b-3", "b 3", "HTTPS://TARNHOLM.EXAMPLE/Q/B-3", "Bay B, Shelf 3", "Store › Bay B › Shelf 3"]
)
def test_a_place_is_meant_by_its_code_its_label_or_its_path(typed: str) -> None:
    places = tree()
    assert reads.place_meant(builders.saar(), typed) == places["B-3"]


def test_a_name_that_two_places_bear_is_asked_back_with_their_codes() -> None:
    tree()
    with pytest.raises(NotFound, match=r"Two places are called Shelf 3\. Write A-3 or B-3\."):
        reads.place_meant(builders.saar(), "Shelf 3")
    assert reads.place_meant(builders.saar(), "Shelf 9") is None


def test_what_is_in_a_crate_is_counted_in_pieces_and_weighed() -> None:
    places = tree()
    whole = builders.cast("2016.1", mass_g=3000, n_parts=7)
    listed = builders.cast("2023.4", mass_g=2000, n_parts=None)
    for n in range(1, 5):
        builders.piece(listed, str(n), mass_g=400)
    builders.piece(listed, "5", present=False)
    put(whole, places["K-12"])
    put(listed, places["K-12"])
    much = reads.sum_in(builders.saar(), places["B"])
    assert (much.n_casts, much.n_pieces, much.mass_g, much.n_unweighed) == (2, 11, 5000, 0)
    fourth = listed.pieces.get(suffix="4")
    actions.move(builders.imke(), Subject(listed, fourth), places["H"])
    much = reads.sum_in(builders.saar(), places["K-12"])
    assert (much.n_casts, much.n_pieces, much.mass_g) == (2, 10, 4600)
    assert reads.sum_in(builders.saar(), places["H"]).mass_g == 400


def test_a_shelf_bears_no_more_than_it_holds() -> None:
    places = tree()
    actions.change_place(builders.imke(), places["B-3"].pk, {"holds_kg": Decimal(5)})
    heavy, light = builders.cast("2016.1", mass_g=3000), builders.cast("2016.2", mass_g=2500)
    put(heavy, places["K-12"])
    with pytest.raises(Refusal, match=r"B-3 holds 5.kg; with this it would bear 5\.5.kg"):
        put(light, places["B-3"])
    carry(places["K-12"], places["A"])
    put(light, places["B-3"])
    with pytest.raises(Refusal, match=r"it would bear 5\.5.kg"):
        carry(places["K-12"], places["B-3"])


def test_a_closed_place_takes_nothing_and_keeps_its_code() -> None:
    places, cast = tree(), builders.cast()
    actions.close_place(builders.imke(), places["A-3"].pk)
    with pytest.raises(Refusal, match="A-3 is no longer in use"):
        put(cast, Place.objects.get(code="A-3"))
    with pytest.raises(Refusal, match="borne by place A-3 already"):
        actions.add_place(builders.imke(), "A-3", "Shelf 3", "shelf")
    actions.open_place(builders.imke(), places["A-3"].pk)
    assert put(cast, Place.objects.get(code="A-3"))


def test_a_place_is_closed_when_nothing_is_in_it_and_nothing_belongs_there() -> None:
    places, cast = tree(), builders.cast()
    put(cast, places["K-12"])
    with pytest.raises(Refusal, match="Something stands in K-12: one thing"):
        actions.close_place(builders.imke(), places["K-12"].pk)
    put(cast, places["H"])
    with pytest.raises(Refusal, match="One thing belongs in K-12"):
        actions.close_place(builders.imke(), places["K-12"].pk)
    actions.set_home(builders.imke(), Subject(cast), places["H"])
    assert actions.close_place(builders.imke(), places["K-12"].pk).closed_on


def test_a_container_is_moved_not_changed_and_a_shelf_never_hangs_in_itself() -> None:
    places = tree()
    with pytest.raises(Refusal, match="K-12 is a container: move it"):
        actions.change_place(builders.imke(), places["K-12"].pk, {"parent": places["H"]})
    with pytest.raises(Refusal, match="B cannot go into itself: B-3 stands in it"):
        actions.change_place(builders.imke(), places["B"].pk, {"parent": places["B-3"]})
    actions.change_place(builders.imke(), places["B-3"].pk, {"parent": places["A"], "name": "Shelf 4"})
    assert reads.paths()[places["K-12"].pk] == "Tarn Holm station › Store › Bay A › Shelf 4 › Crate 12"


# pages


def test_the_page_of_a_crate_says_where_it_stands_and_what_is_in_it(client: Any) -> None:
    places = tree()
    put(builders.cast("2016.1", mass_g=1900), places["K-12"])
    carry(places["K-12"], places["B-3"]) if places["K-12"].parent != places["B-3"] else None
    builders.signed_in(client, "Saar Osei")
    page = client.get("/places/k-12/").content.decode()
    assert "On shelf 3 in bay B" in page
    assert "Seven pieces of one cast are in it, 1.9" in page
    assert "Move the crate and the seven pieces in it" in page
    assert 'href="/labels/?of=K-12"' in page
    assert client.get("/places/K-99/").status_code == 404


def test_a_reader_reads_places_and_is_offered_no_act(client: Any) -> None:
    places = tree()
    put(builders.cast(), places["K-12"])
    builders.signed_in(client, "Lenno Haak")
    page = client.get("/places/K-12/").content.decode()
    assert "2016.1" in page
    for offered in ("Put something here", "Move the crate", "Change</a>", "Take it out of use"):
        assert offered not in page
    for address in ("/places/new/", "/places/K-12/change/", "/places/K-12/close/", "/movements/new/"):
        assert client.get(address).status_code == 403
    client.logout()
    assert client.get("/places/K-12/")["Location"].startswith("/sign-in/")


@pytest.mark.parametrize(
    "field, typed, sentence",
    [
        ("code", "2016.1", "begins with a letter"),
        ("code", "NEW", "name of a page here"),
        ("code", "k-12", "borne by container K-12 already"),
        ("code", "E-2026-4", "looks like the number of an entry"),
        ("name", "  ", "Write what the place is called"),
        ("kind", "cupboard", "Choose what kind"),
        ("parent", "Shelf 3", "Two places are called Shelf 3"),
        ("parent", "B-99", "not a place of ours"),
        ("holds_kg", "-3", "below zero"),
        ("note", "x" * 5001, "Shorten this"),
    ],
)
def test_a_new_place_names_what_is_wrong_and_keeps_the_rest(client: Any, field: str, typed: str, sentence: str) -> None:
    tree()
    builders.signed_in(client, "Saar Osei")
    said = {"code": "B-4", "name": '🐚 "O\'Neill" shelf', "kind": "shelf", "parent": "B"}
    answer = client.post("/places/new/", said | {field: typed})
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert field == "name" or "O&#x27;Neill" in answer.content.decode()
    assert not Place.objects.filter(code="B-4").exists()


def test_a_place_is_made_changed_and_closed_by_its_pages(client: Any) -> None:
    tree()
    builders.signed_in(client, "Saar Osei")
    said = {"code": "b-4", "name": "Shelf 4", "kind": "shelf", "parent": "Bay B", "holds_kg": "40"}
    assert client.post("/places/new/", said)["Location"] == "/places/B-4/"
    made = Place.objects.get(code="B-4")
    assert (made.parent.code, made.movable, made.holds_kg) == ("B", False, 40)
    change = {"name": "Shelf 4", "kind": "shelf", "parent": "B", "fitness": "dry", "version": 1}
    assert client.post("/places/B-4/change/", change).status_code == 302
    assert client.post("/places/B-4/change/", change | {"fitness": "damp"}).status_code == 412
    assert client.post("/places/B-4/close/").status_code == 302
    made.refresh_from_db()
    assert (made.fitness, made.closed_on is not None) == ("dry", True)
    assert "Take it into use again" in client.get("/places/B-4/").content.decode()


def test_a_wide_place_folds_its_siblings_and_opens_to_the_one_asked_for(client: Any) -> None:
    places = tree()
    for n in range(1, 41):
        actions.add_place(builders.imke(), f"C-{n}", f"Crate {n}", "crate", parent=places["A"])
    builders.signed_in(client, "Saar Osei")
    page = client.get("/places/C-39/").content.decode()
    assert 'aria-current="page"' in page
    assert "29 more" in page or "28 more" in page
    assert page.index("Crate 2,") < page.index("Crate 10,")


def test_pages_and_lists_ask_as_many_queries_with_30_rows_as_with_3(client: Any) -> None:
    places = tree()
    builders.signed_in(client, "Imke Roodenburg")
    addresses = [
        "/places/",
        "/places/ST/",
        "/places/K-12/",
        "/movements/",
        "/movements/?place=ST&q=packed",
        "/movements/new/?of=K-12&to=H",
        "/api/v1/places/",
        "/api/v1/movements/",
        "/api/v1/placements/",
        "/api/v1/placements/?at=2026-01-01T00:00:00Z",
        "/casts/",
        "/api/v1/casts/",
    ]

    def fill(first: int, last: int) -> None:
        for n in range(first, last):
            cast = builders.cast(f"2016.{n}", fragile=n % 2 == 0)
            put(cast, places["K-12"], because="packed")
            piece = builders.piece(cast, "1")
            actions.move(builders.imke(), Subject(cast, piece), places["B-3"], because="packed")
            actions.add_place(builders.imke(), f"T-{n + 100}", f"Tray {n + 100}", "tray", parent=places["B-3"])

    fill(1, 4)
    few = {a: asked(client, a) for a in addresses}
    fill(4, 31)
    assert {a: asked(client, a) for a in addresses} == few
    assert max(few.values()) < 60
