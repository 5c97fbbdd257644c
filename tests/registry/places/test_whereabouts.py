"""Where things were at any instant: crates are followed to where they stood then, and what was learnt later says so."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from catalog.casts.models import Cast
from catalog.casts.subject import Subject, facts
from catalog.ground.asks import history_of
from registry.places import actions, reads
from registry.places.models import Movement, Placement
from tests import builders
from tests.registry.places.makers_places import carry, put, tree

pytestmark = pytest.mark.django_db


def ago(days: float) -> Any:
    return timezone.now() - timedelta(days=days)


def codes(path: list[Any]) -> list[str]:
    return [p.code for p in path]


def test_many_things_are_found_at_an_instant_and_now() -> None:
    places = tree()
    first, second = builders.cast("2016.1"), builders.cast("2016.2")
    piece = builders.piece(first, "4")
    put(first, places["K-12"], days_ago=9)
    put(second, places["A-3"], days_ago=9)
    actions.move(builders.imke(), Subject(first, piece), places["T-7"], at=ago(7))
    carry(places["K-12"], places["VAN-1"], days_ago=5)
    carry(places["K-12"], places["H"], days_ago=4)
    asked = [Subject(first), Subject(second), Subject(first, piece)]
    now, then = reads.where_is(asked), reads.where_is(asked, ago(4.5))
    assert [codes(now[s])[-2:] for s in asked] == [["H", "K-12"], ["A", "A-3"], ["A", "T-7"]]
    assert codes(then[Subject(first)]) == ["TH", "VAN-1", "K-12"]
    assert codes(reads.where_is(asked, ago(8))[Subject(first, piece)]) == ["TH", "ST", "B", "B-3", "K-12"]
    assert reads.where_is(asked, ago(10)) == {s: [] for s in asked}


def test_before_its_first_movement_a_crate_stood_where_that_movement_took_it_from() -> None:
    places, cast = tree(), builders.cast()
    put(cast, places["K-12"], days_ago=9)
    carry(places["K-12"], places["H"], days_ago=2)
    assert codes(reads.place_as_of(Subject(cast), ago(3))) == ["TH", "ST", "B", "B-3", "K-12"]


def test_pieces_beside_their_cast_go_where_it_goes_and_come_back_with_it() -> None:
    places, cast = tree(), builders.cast()
    beside, away = builders.piece(cast, "1"), builders.piece(cast, "2")
    put(cast, places["B-3"], days_ago=9)
    for piece, place in ((beside, "B-3"), (away, "H")):
        actions.move(builders.imke(), Subject(cast, piece), places[place], at=ago(8))
    moved = put(cast, places["K-12"])
    where = reads.where_is([Subject(cast, beside), Subject(cast, away)])
    assert [codes(path)[-1] for path in where.values()] == ["K-12", "H"]
    assert Movement.objects.filter(piece=beside, to_place=places["K-12"]).count() == 1
    actions.undo_movement(builders.imke(), moved.pk)
    assert Placement.objects.get(piece=beside).place == places["B-3"]
    assert Placement.objects.get(piece=away).place == places["H"]


def test_a_piece_taken_back_from_its_first_way_is_with_its_cast_again() -> None:
    places, cast = tree(), builders.cast()
    piece = builders.piece(cast, "4")
    put(cast, places["B-3"], days_ago=2)
    moved = actions.move(builders.imke(), Subject(cast, piece), places["H"])
    assert moved.from_place == places["B-3"]
    actions.undo_movement(builders.imke(), moved.pk)
    assert reads.place_now(Subject(cast, piece)) == places["B-3"]
    put(cast, places["K-12"])
    assert reads.place_now(Subject(cast, piece)) == places["K-12"]


def test_facts_of_casts_are_given_as_of_an_instant() -> None:
    places, cast = tree(), builders.cast()
    museum = builders.person("Museum of the Low Shore", kind="body")
    put(cast, places["B-3"], days_ago=9, back_on=ago(1).date())
    actions.take_custody(builders.imke(), cast, at=ago(9))
    actions.take_custody(builders.imke(), cast, holder=museum, ours=False, at=ago(3))
    put(cast, places["H"], days_ago=2)
    now = {name: value for _, name, value in facts(builders.saar(), [cast], None)}
    then = {name: value for _, name, value in facts(builders.saar(), [cast], ago(5))}
    assert (now["place"], now["home"], now["holder"]) == ("H", "B-3", "Museum of the Low Shore")
    assert (then["place"], then["place_path"][-1], then["holder"]) == ("B-3", "B-3", "us")


def test_the_history_of_a_cast_says_what_carried_it_and_what_was_learnt_later() -> None:
    places, cast = tree(), builders.cast()
    put(cast, places["T-7"], days_ago=9)
    carry(places["T-7"], places["K-12"], days_ago=6)
    carry(places["K-12"], places["VAN-1"], days_ago=4)
    put(cast, places["H"], days_ago=3)
    carry(places["K-12"], places["B-3"], days_ago=1)
    past = sorted(history_of(builders.saar(), cast), key=lambda e: e.at)
    moves = [e for e in past if e.kind == "move"]
    assert [e.sentence.split(",")[0].rstrip(".") for e in moves] == [
        "Moved: now in T-7",
        "Went with T-7",
        "Went with K-12",
        "Moved: now in Stair hall",
    ]
    assert "is now in VAN-1" in moves[2].sentence
    assert all(e.learnt_at for e in moves)
    put(cast, places["B-3"])
    read_anew = Cast.objects.get(pk=cast.pk)
    newest = max((e for e in history_of(builders.saar(), read_anew) if e.kind == "move"), key=lambda e: e.at)
    assert newest.learnt_at is None


def test_a_crate_keeps_its_own_history() -> None:
    places = tree()
    carry(places["K-12"], places["H"], because="open day")
    sentences = [e.sentence for e in history_of(builders.saar(), places["K-12"])]
    assert any("K-12 moved: now in Stair hall" in s and "(open day)" in s for s in sentences)


def test_what_is_given_back_stands_on_no_shelf_of_ours() -> None:
    from catalog.casts.actions import close_cast
    from catalog.ground.acting import action

    places, cast = tree(), builders.cast("E-2026-1")
    put(cast, places["B-3"], days_ago=3)

    @action("exit.write")
    def give_back(actor: Any) -> list[str]:
        return close_cast(actor, cast, "given back")

    assert give_back(builders.imke()) == ["E-2026-1 is no longer on shelf 3."]
    assert not reads.placements_in(builders.imke(), places["B-3"]).exists()
    assert codes(reads.place_as_of(Subject(cast), ago(1)))[-1] == "B-3"
    assert Movement.objects.latest("pk").because == "given back"
