"""Where a dig lies: exactly for the registrar and the keeper, by its cell for all others, through every door."""

from __future__ import annotations

import json
import logging
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from catalog.excavations import actions, reads
from catalog.excavations.models import ExactPlace, Excavation
from catalog.excavations.placing import MAP, RECEIVER, PlaceSaid, doubts_of, placed, shown
from catalog.ground.asks import history_of
from catalog.ground.refusal import Hindered, NotAllowed, Refusal, Stale
from catalog.ground.sight import visible_to
from tests import builders
from tests.catalog.excavations import makers_digs as makers
from tests.catalog.excavations.makers_digs import HERE, HERE_TOO

DOORS = [
    "/api/v1/excavations/",
    "/api/v1/excavations/D-2025-1/",
    "/api/v1/sites/",
    "/api/v1/lifts/",
    "/api/v1/pours/",
    "/excavations/?format=csv",
    "/excavations/?format=json",
    "/sites/?format=csv",
]
PAGES = ["/excavations/", "/excavations/D-2025-1/", "/excavations/D-2025-1/history/", "/excavations/D-2025-1/place/"]


def as_person(name: str) -> Client:
    return builders.signed_in(Client(), name)


def body(answer: Any) -> bytes:
    return b"".join(answer.streaming_content) if answer.streaming else answer.content


# reading


def test_a_receiver_holds_half_of_its_fixes_and_is_counted_double() -> None:
    """Chapman & Wieczorek 2020, "Uncertainty due to GPS": the figure shown is doubled at least."""
    stated = placed(PlaceSaid("54.35512, 5.20678", fixed_by=MAP, within_m=Decimal(5)))
    received = placed(PlaceSaid("54.35512, 5.20678", fixed_by=RECEIVER, within_m=Decimal(5)))
    assert received.within_m - stated.within_m == 5


def test_swapped_figures_far_from_the_site_are_kept_with_a_hint() -> None:
    point = placed(PlaceSaid("5.20678, 54.35512"))
    (doubt,) = doubts_of(point, [(Decimal("54.35"), Decimal("5.25"), 6447)])
    assert "Are north and east swapped?" in doubt
    assert doubt.endswith("Kept as it is.")


@pytest.mark.parametrize(
    "category, lat, within_m",
    [("2", "54.35000", 6447), ("3", "54.35500", 645), ("none", "54.35512", 2)],
)
def test_what_others_read_by_the_category_of_the_site(category: str, lat: str, within_m: int) -> None:
    """Radii of the cells: our rule of the farthest corner, by geographiclib (tests/outside/test_generalised_places.py)."""
    point = placed(PlaceSaid(HERE))
    found = shown(point.lat, point.lon, point.within_m, category)
    assert (str(found.lat), found.within_m) == (lat, within_m)


def test_of_the_strictest_category_only_the_region_is_given() -> None:
    found = shown(Decimal("54.35512"), Decimal("5.20678"), 5, "1")
    assert (found.lat, found.lon, found.within_m) == (None, None, None)
    assert "only the region" in found.how


# who may know


@pytest.mark.django_db
def test_an_exact_place_is_for_registrar_and_keeper_only(client: Any) -> None:
    dig = makers.placed()
    for name in ("Imke Roodenburg", "Tobias Wren"):
        assert reads.exact_place(builders.actor(name), dig, "test").said == HERE
        assert HERE in body(as_person(name).get(dig.href)).decode()
        assert as_person(name).get(f"/api/v1{dig.href}").json()["exact"]["said"] == HERE
    for name in ("Saar Osei", "Lenno Haak", "Ottilie Brandt"):
        assert reads.exact_place(builders.actor(name), dig, "test") is None
        assert not visible_to(builders.actor(name), ExactPlace.objects.all()).exists()
        texts = [body(as_person(name).get(door)).decode() for door in [*DOORS, *PAGES[:3]]]
        assert not [t for t in texts if "54.355" in t or "5.2067" in t or '"exact"' in t]


@pytest.mark.django_db
def test_each_reading_of_an_exact_place_is_logged(caplog: pytest.LogCaptureFixture) -> None:
    dig, tobias = makers.placed(), builders.tobias()
    with caplog.at_level(logging.INFO, "undercast"):
        as_person("Tobias Wren").get(f"/api/v1{dig.href}")
    lines = [r.getMessage() for r in caplog.records if "exact place" in r.getMessage()]
    assert len(lines) == 1
    assert f"read by account {tobias.account_id} of D-2025-1 (site {dig.site_id})" in lines[0]
    assert lines[0].endswith("at /api/v1/excavations/D-2025-1/")
    assert "54.3" not in lines[0]


@pytest.mark.django_db
def test_nothing_that_a_technician_gets_depends_on_where_in_its_cell_the_place_lies() -> None:
    """The differential test: the same register, but for the exact point, gives the same bytes."""
    dig = makers.placed()
    makers.lift(dig)

    def got() -> list[Any]:
        answers = [as_person("Saar Osei").get(door) for door in DOORS]
        told = [history_of(builders.actor(name), Excavation.objects.get()) for name in ("Saar Osei", "Lenno Haak")]
        return [*((a.status_code, a.headers, body(a)) for a in answers), *told]

    before = got()
    actions.place_excavation(builders.imke(), dig.pk, PlaceSaid(HERE_TOO, words="behind the second dune"))
    assert ExactPlace.objects.get().said == HERE_TOO
    assert got() == before
    assert [e for e in history_of(builders.imke(), dig) if e.sentence.startswith("Exact place changed")]


@pytest.mark.django_db
def test_a_doubt_tells_a_technician_no_more_than_the_cells(client: Any) -> None:
    """Two sites whose exact points differ within their cell give a technician the same words."""
    sentences = []
    for name, where in (("North Creek", HERE), ("South Creek", HERE_TOO)):
        makers.placed(where, of=makers.dig(site=makers.site(name)))
        far = makers.dig(site=makers.site(name))
        _, doubts = actions.place_excavation(builders.saar(), far.pk, PlaceSaid("56.0 N 5.2 E"))
        sentences.append(doubts)
    assert sentences[0] == sentences[1]
    assert "from the nearest other fix of its site" in sentences[0][0]


@pytest.mark.django_db
def test_who_may_not_read_a_place_writes_the_first_one_only() -> None:
    dig = makers.dig()
    placed_dig, _ = actions.place_excavation(builders.saar(), dig.pk, PlaceSaid(HERE))
    assert str(placed_dig.shown_lat) == "54.35000"
    with pytest.raises(Hindered, match="nobody writes over what they may not read"):
        actions.place_excavation(builders.saar(), dig.pk, PlaceSaid(HERE_TOO))
    actions.place_excavation(builders.tobias(), dig.pk, PlaceSaid(HERE_TOO), expected_version=1)
    with pytest.raises(Stale):
        actions.place_excavation(builders.imke(), dig.pk, PlaceSaid(HERE), expected_version=1)


@pytest.mark.django_db
def test_search_knows_no_word_of_an_exact_place() -> None:
    from catalog.ground.search import find

    dig = makers.placed(words="Widgeon's hollow behind the second dune")
    assert not find("widgeon")
    assert not find("54.35512")
    assert [e.number for e in find(dig.number)] == [dig.number]


# keeping back


@pytest.mark.django_db
def test_raising_a_site_makes_all_its_digs_coarse_at_once() -> None:
    site = makers.site()
    first, second = makers.placed(), makers.placed("54.31 N 5.29 E")
    actions.raise_category(builders.imke(), site.pk, "3", "no bees there any more")
    assert str(Excavation.objects.get(pk=first.pk).shown_lat) == "54.35500"
    _, followed = actions.raise_category(builders.tobias(), site.pk, "1", "a nest was dug up by strangers")
    assert isinstance(followed, list)
    for dig in Excavation.objects.filter(pk__in=[first.pk, second.pk]):
        assert (dig.shown_lat, dig.shown_lon, dig.shown_within_m) == (None, None, None)


@pytest.mark.django_db
def test_a_category_is_never_changed_in_passing() -> None:
    site = makers.site()
    with pytest.raises(Refusal, match="Write why"):
        actions.raise_category(builders.imke(), site.pk, "none", "  ")
    with pytest.raises(NotAllowed):
        actions.raise_category(builders.saar(), site.pk, "1", "because")
    with pytest.raises(AssertionError):
        actions.change_site(builders.imke(), site.pk, {"category": "none"})
    strict, open_site = makers.placed(), makers.site("Open Meadow")
    actions.raise_category(builders.imke(), open_site.pk, "none", "a lawn")
    with pytest.raises(NotAllowed, match="kept back less strictly"):
        actions.change_excavation(builders.saar(), strict.pk, {"site": open_site})
    assert Excavation.objects.get(pk=strict.pk).shown_lat == Decimal("54.35000")
    moved = actions.change_excavation(builders.imke(), strict.pk, {"site": open_site})
    assert moved.shown_lat == Decimal("54.35512")


@pytest.mark.django_db
def test_a_token_raises_a_category_only_if_it_names_the_act(client: Any) -> None:
    from dataclasses import replace

    site = makers.site()
    token = replace(builders.imke(), by_token=True, token_id=1)
    with pytest.raises(NotAllowed):
        actions.raise_category(token, site.pk, "1", "a rare bee")
    named = replace(token, grave_named=frozenset({"site.category"}))
    assert actions.raise_category(named, site.pk, "1", "a rare bee")[0].category == "1"


@pytest.mark.django_db
def test_the_category_page_asks_for_the_password_again() -> None:
    site, said = makers.site(), {"category": "1", "ground": "a rare bee", "version": 1, "key": "k" * 20}
    client = Client()
    builders.signed_in(client)
    stale = client.session
    stale["account_authentication_methods"] = []
    stale.save()
    assert client.post(f"/sites/{site.pk}/category/", said).status_code == 403
    assert as_person("Imke Roodenburg").post(f"/sites/{site.pk}/category/", said).status_code == 302
    site.refresh_from_db()
    assert (site.category, site.category_ground) == ("1", "a rare bee")


# typing


@pytest.mark.django_db
@pytest.mark.parametrize(
    "where, sentence",
    [
        ("91 N 5 E", "off the planet"),
        ("154.3, 5.2", "Are north and east swapped? Then write 5.2, 154.3."),
        ("spring tide", "We cannot read"),
        ("54°70' N 5°20' E", "60"),
        ("x" * 130, "Shorten this"),
        ("", "Write where it is"),
    ],
)
def test_a_place_that_cannot_be_is_named_and_kept(where: str, sentence: str) -> None:
    dig = makers.dig()
    client = as_person("Saar Osei")
    answer = client.post(f"{dig.href}place/", {"where": where, "datum": "WGS84", "words": "the 🐚 dune", "version": 0})
    text = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in text.replace("&#x27;", "'")
    assert "the 🐚 dune" in text
    assert not ExactPlace.objects.exists()


@pytest.mark.django_db
def test_a_map_of_its_own_datum_where_it_is_not_used_is_refused() -> None:
    with pytest.raises(Refusal, match="NAD27 is not in use at"):
        actions.place_excavation(builders.imke(), makers.dig().pk, PlaceSaid(HERE, datum="NAD27"))


@pytest.mark.django_db
@pytest.mark.parametrize("where", ["54°21'20\" N 5°12'30\" E", "54 21.300 N 5 12.400 E", "31U FV 12345 24680"])
def test_the_field_books_forms_come_back_letter_for_letter(where: str) -> None:
    dig = makers.dig()
    client = as_person("Imke Roodenburg")
    said = {
        "where": where,
        "datum": "WGS84",
        "fixed_by": "field book",
        "within_m": "20 m",
        "version": 0,
        "key": "k" * 20,
    }
    assert client.post(f"{dig.href}place/", said).status_code == 302
    page = client.get(dig.href).content.decode()
    for shown_back in (where.replace("'", "&#x27;").replace('"', "&quot;"), "MGRS", "31U"):
        assert shown_back in page
    again = client.get(f"{dig.href}place/").content.decode()
    assert 'value="field book"' in again


@pytest.mark.django_db
def test_other_words_leave_the_radius_as_it_was() -> None:
    dig, client = makers.dig(), as_person("Imke Roodenburg")
    first = {"where": HERE, "datum": "WGS84", "fixed_by": "receiver", "within_m": "5", "version": 0, "key": "k" * 20}
    client.post(f"{dig.href}place/", first)
    before = ExactPlace.objects.get()
    page = client.get(f"{dig.href}place/").content.decode()
    assert 'name="within_m" value="5"' in page
    client.post(f"{dig.href}place/", first | {"words": "by the post", "version": 1, "key": "m" * 20})
    after = ExactPlace.objects.get()
    assert (after.words, after.within_m, after.stated_m) == ("by the post", before.within_m, 5)


@pytest.mark.django_db
def test_the_place_of_a_dig_comes_by_the_api_in_one_request() -> None:
    builders.saar()
    makers.site()
    client = as_person("Saar Osei")
    sent = {"site": "North Creek", "dug_on": "June 2025", "place": {"said": HERE}}
    answer = client.post(
        "/api/v1/excavations/", json.dumps(sent), content_type="application/json", headers={"Idempotency-Key": "a" * 20}
    )
    assert answer.status_code == 201
    assert answer.json()["place"] == {
        "latitude": 54.35,
        "longitude": 5.25,
        "within_m": 6447,
        "dataGeneralizations": "Coordinates generalised to a 0.1 degree geographic grid, cell centre given",
    }
    assert "exact" not in answer.json()
    wrong = client.post(
        "/api/v1/excavations/",
        json.dumps(sent | {"place": {"said": "91 N 5 E"}}),
        content_type="application/json",
        headers={"Idempotency-Key": "b" * 20},
    )
    assert (wrong.status_code, wrong.json()["errors"][0]["pointer"]) == (422, "/place/said")
    assert Excavation.objects.count() == 1
