"""Moving things: one place at a time, in the order of the days on which it happened."""

from __future__ import annotations

import threading
from datetime import timedelta
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from catalog.casts.subject import Subject
from catalog.ground.refusal import NotAllowed, Refusal
from registry.places import actions, reads
from registry.places.models import Custody, Movement, Place, Placement
from tests import builders

pytestmark = pytest.mark.django_db


def tree() -> dict[str, Place]:
    """Store > Bay B > Shelf 3 > crate K-12, and the stair hall with its frame."""
    imke = builders.imke()
    store = actions.add_place(imke, "STORE", "Store", "room")
    bay = actions.add_place(imke, "B", "Bay B", "bay", parent=store)
    shelf = actions.add_place(imke, "B-3", "Shelf 3", "shelf", parent=bay)
    crate = actions.add_place(imke, "K-12", "Crate 12", "crate", parent=shelf)
    hall = actions.add_place(imke, "HALL", "Stair hall", "room")
    frame = actions.add_place(imke, "F-1", "Frame 1", "frame", parent=hall)
    return {p.code: p for p in (store, bay, shelf, crate, hall, frame)}


def test_a_cast_is_in_one_place_and_was_in_others() -> None:
    places, cast = tree(), builders.cast()
    actions.move(builders.saar(), Subject(cast), places["B-3"])
    actions.move(builders.saar(), Subject(cast), places["K-12"], because="packed")
    assert Placement.objects.get(cast=cast).place == places["K-12"]
    assert [m.to_place.code for m in reads.movements_of(builders.saar(), cast)] == ["K-12", "B-3"]
    assert reads.movements_of(builders.saar(), cast).first().from_place == places["B-3"]


def test_what_was_done_on_friday_is_typed_on_monday() -> None:
    places, cast = tree(), builders.cast()
    now = timezone.now()
    actions.move(builders.saar(), Subject(cast), places["B-3"], at=now - timedelta(days=3))
    actions.move(builders.saar(), Subject(cast), places["HALL"], at=now - timedelta(days=1))
    late = actions.move(builders.saar(), Subject(cast), places["K-12"], at=now - timedelta(days=2))
    assert Placement.objects.get(cast=cast).place == places["HALL"]
    assert late.from_place == places["B-3"]
    assert late.written_at > late.at
    assert [p.code for p in reads.place_as_of(Subject(cast), now - timedelta(days=1, hours=12))][-1] == "K-12"


def test_a_crate_moves_what_is_in_it() -> None:
    places, cast = tree(), builders.cast()
    actions.move(builders.saar(), Subject(cast), places["K-12"], at=timezone.now() - timedelta(hours=2))
    before = timezone.now()
    actions.move(builders.saar(), places["K-12"], places["HALL"], because="for the open day")
    assert [p.code for p in reads.place_as_of(Subject(cast), timezone.now())] == ["HALL", "K-12"]
    assert [p.code for p in reads.place_as_of(Subject(cast), before)] == ["STORE", "B", "B-3", "K-12"]


def test_a_piece_is_where_its_cast_is_until_it_goes_its_own_way() -> None:
    places, cast = tree(), builders.cast()
    piece = builders.piece(cast, "4")
    actions.move(builders.saar(), Subject(cast), places["B-3"])
    assert reads.place_now(Subject(cast, piece)) == places["B-3"]
    actions.move(builders.saar(), Subject(cast, piece), places["HALL"])
    assert reads.place_now(Subject(cast, piece)) == places["HALL"]
    assert reads.place_now(Subject(cast)) == places["B-3"]


def test_a_crate_does_not_go_into_itself() -> None:
    places = tree()
    inner = actions.add_place(builders.imke(), "T-9", "Tray 9", "tray", parent=places["K-12"])
    with pytest.raises(Refusal, match="K-12 cannot go into itself: T-9 stands in it"):
        actions.move(builders.saar(), places["K-12"], inner)
    with pytest.raises(IntegrityError), transaction.atomic():
        Place.objects.filter(pk=places["K-12"].pk).update(parent=inner)


def test_a_movement_is_never_edited_even_behind_our_back() -> None:
    places, cast = tree(), builders.cast()
    moved = actions.move(builders.saar(), Subject(cast), places["B-3"])
    with pytest.raises(IntegrityError), transaction.atomic():
        Movement.objects.filter(pk=moved.pk).update(because="another reason")
    with pytest.raises(IntegrityError), transaction.atomic():
        Movement.objects.filter(pk=moved.pk).delete()


def test_a_wrong_movement_is_followed_by_the_right_one() -> None:
    places, cast = tree(), builders.cast()
    actions.move(builders.saar(), Subject(cast), places["B-3"])
    wrong = actions.move(builders.saar(), Subject(cast), places["HALL"])
    right = actions.correct_movement(builders.saar(), wrong.pk, places["K-12"], because="the crate, not the hall")
    assert Placement.objects.get(cast=cast).place == places["K-12"]
    assert right.replaces == wrong
    with pytest.raises(Refusal, match="put right already"):
        actions.correct_movement(builders.saar(), wrong.pk, places["B"], because="again")


def test_a_move_is_undone_while_nothing_came_after_it() -> None:
    places, cast = tree(), builders.cast()
    first = actions.move(builders.saar(), Subject(cast), places["B-3"])
    second = actions.move(builders.saar(), Subject(cast), places["HALL"])
    with pytest.raises(Refusal, match="moved again since"):
        actions.undo_movement(builders.saar(), first.pk)
    actions.undo_movement(builders.saar(), second.pk)
    assert Placement.objects.get(cast=cast).place == places["B-3"]


def test_a_fragile_cast_asks_why_and_who() -> None:
    places, cast = tree(), builders.cast(fragile=True)
    actions.move(builders.imke(), Subject(cast), places["B-3"])
    with pytest.raises(NotAllowed):
        actions.move(builders.saar(), Subject(cast), places["HALL"], because="a look")
    with pytest.raises(Refusal, match=r"2016\.1 is fragile\. Write why"):
        actions.move(builders.imke(), Subject(cast), places["HALL"])
    assert actions.move(builders.imke(), Subject(cast), places["HALL"], because="open day, with Saar")


def test_a_cast_fixed_to_its_frame_asks_why() -> None:
    places, cast = tree(), builders.cast("2011.3")
    actions.move(builders.imke(), Subject(cast), places["F-1"], at=timezone.now() - timedelta(days=1))
    with pytest.raises(Refusal, match="fixed to F-1"):
        actions.move(builders.imke(), Subject(cast), places["B-3"])


@pytest.mark.parametrize(
    "wrong, sentence",
    [
        ({"at": timezone.now() + timedelta(days=1)}, "has not happened"),
        ({"back_on": timezone.now().date() - timedelta(days=9)}, "due back before"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(wrong: dict[str, Any], sentence: str) -> None:
    places, cast = tree(), builders.cast()
    with pytest.raises(Refusal, match=sentence):
        actions.move(builders.saar(), Subject(cast), places["B-3"], **wrong)
    assert not Movement.objects.exists()
    assert not Placement.objects.exists()


def test_a_place_code_never_looks_like_a_number_and_is_borne_once() -> None:
    imke = builders.imke()
    for code in ("2016.1", "7", "E-2026-4", "", "B 3", "B'3", "🐝"):
        with pytest.raises(Refusal):
            actions.add_place(imke, code, "Shelf", "shelf")
    actions.add_place(imke, "B-3", "Shelf 3", "shelf")
    with pytest.raises(Refusal):
        actions.add_place(imke, "b-3", "Shelf 3", "shelf")


def test_who_holds_it_is_a_line_of_hand_overs() -> None:
    cast = builders.cast()
    borrower = builders.person("Museum of the Low Shore", kind="body")
    actions.take_custody(builders.imke(), cast, because="entry", at=timezone.now() - timedelta(days=9))
    actions.take_custody(builders.imke(), cast, holder=borrower, ours=False, because="loan")
    assert reads.holder_now([cast])[cast.pk].holder == borrower
    assert reads.holder_as_of(cast, timezone.now() - timedelta(days=2)).ours
    assert Custody.objects.count() == 2


@pytest.mark.django_db(transaction=True)
def test_two_crates_are_not_put_into_each_other_at_one_instant() -> None:
    places = tree()
    other = actions.add_place(builders.imke(), "K-13", "Crate 13", "crate", parent=places["B-3"])
    saar, barrier, said = builders.saar(), threading.Barrier(2), []

    def put(what: Place, into: Place) -> None:
        barrier.wait()
        try:
            actions.move(saar, what, into)
            said.append("moved")
        except Refusal as refusal:
            said.append(str(refusal))
        finally:
            connection.close()

    pairs = [(places["K-12"], other), (other, places["K-12"])]
    threads = [threading.Thread(target=put, args=pair) for pair in pairs]
    [t.start() for t in threads]
    [t.join() for t in threads]
    assert sorted(s == "moved" for s in said) == [False, True]
