"""A deed is barred with its ground, refused in a sentence that says who may lift it, and lifted by the keeper."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from catalog.casts.subject import Subject
from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, NotAllowed, Refusal
from registry.condition.actions import lift_restriction, restrict
from registry.condition.said import RestrictionSaid
from registry.places.actions import add_place, move
from tests import builders

pytestmark = pytest.mark.django_db
HEAT = "softened by heat"


def test_a_barred_move_is_refused_and_says_who_may_lift_it() -> None:
    cast, shelf = builders.cast("2019.3"), add_place(builders.imke(), "B-3", "Shelf 3", "shelf")
    restrict(builders.ottilie(), Subject(cast), RestrictionSaid("move", HEAT, who_may_lift="Tobias Wren"))
    with pytest.raises(Hindered, match=r"2019.3 cannot be moved: softened by heat, since .* Tobias Wren may lift it\."):
        move(builders.imke(), Subject(cast), shelf)
    assert not cast.movements.exists()


def test_what_bars_the_cast_bars_its_pieces() -> None:
    cast, shelf = builders.cast("2019.3"), add_place(builders.imke(), "B-3", "Shelf 3", "shelf")
    piece = builders.piece(cast, "2")
    restrict(builders.ottilie(), Subject(cast), RestrictionSaid("move", HEAT))
    with pytest.raises(Hindered):
        move(builders.imke(), Subject(cast, piece), shelf)


def test_only_the_keeper_lifts_and_says_why() -> None:
    cast, shelf = builders.cast("2019.3"), add_place(builders.imke(), "B-3", "Shelf 3", "shelf")
    barred = restrict(builders.ottilie(), Subject(cast), RestrictionSaid("move", HEAT))
    with pytest.raises(NotAllowed, match="Only the keeper"):
        lift_restriction(builders.imke(), barred.pk, "cool again")
    with pytest.raises(Refusal, match="Write why"):
        lift_restriction(builders.tobias(), barred.pk, " ")
    lift_restriction(builders.tobias(), barred.pk, "cool again, examined")
    assert move(builders.imke(), Subject(cast), shelf)
    with pytest.raises(Refusal, match="lifted on"):
        lift_restriction(builders.tobias(), barred.pk, "again")


def test_a_restriction_ends_by_itself_on_its_day() -> None:
    cast, shelf = builders.cast("2019.3"), add_place(builders.imke(), "B-3", "Shelf 3", "shelf")
    day = today()
    restrict(
        builders.ottilie(),
        Subject(cast),
        RestrictionSaid("move", HEAT, since=day - timedelta(days=9), until=day - timedelta(days=1)),
    )
    assert move(builders.imke(), Subject(cast), shelf)


@pytest.mark.parametrize(
    "said", [RestrictionSaid("eat", HEAT), RestrictionSaid("move", ""), RestrictionSaid("move", " ")]
)
def test_a_restriction_names_its_deed_and_its_ground(said: RestrictionSaid) -> None:
    with pytest.raises(Refusal):
        restrict(builders.ottilie(), Subject(builders.cast()), said)


def test_the_page_bars_shows_and_lifts(client: Any) -> None:
    cast = builders.cast("2019.3")
    builders.signed_in(client, "Ottilie Brandt")
    assert client.post("/casts/2019.3/restrictions/new/", {"deed": "lend", "why": ""}).status_code == 422
    assert client.post("/casts/2019.3/restrictions/new/", {"deed": "lend", "why": HEAT}).status_code == 302
    assert "cannot be lent" in client.get(cast.href).content.decode()
    barred = cast.restrictions.get()
    builders.signed_in(client, "Tobias Wren")
    assert client.post(f"/restrictions/{barred.pk}/lift/", {"why": "cool", "version": 1}).status_code == 302
    assert "No deed is barred" in client.get(cast.href).content.decode()


def test_the_api_bars_once_under_one_key(client: Any) -> None:
    builders.cast("2019.3")
    builders.signed_in(client, "Ottilie Brandt")
    sent = {
        "data": {"what": "2019.3", "deed": "lend", "why": HEAT},
        "content_type": "application/json",
        "headers": {"Idempotency-Key": "bar-it-once-only-1"},
    }
    first, second = client.post("/api/v1/restrictions/", **sent), client.post("/api/v1/restrictions/", **sent)
    assert (first.status_code, second.status_code, second["Kept-Answer"]) == (201, 201, "true")
    assert client.get("/api/v1/restrictions/?cast=2019.3").json()["count"] == 1
