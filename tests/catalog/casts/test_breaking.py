"""A piece breaks, a body is damaged, a breakage is taken back."""

from __future__ import annotations

from decimal import Decimal as D

import pytest
from django.db import IntegrityError

from catalog.casts.actions import Part, break_joins, break_piece, damage_body, place_face, take_back_breaking
from catalog.casts.models import BreakFace, CrumbLot, Join, Piece
from catalog.casts.reads.refitting import face_at
from catalog.casts.subject import Subject, what_hinders
from catalog.ground.refusal import Hindered, Refusal
from tests import builders
from tests.catalog.casts.makers_pieces import broken, cast_in_pieces, face, joined

pytestmark = pytest.mark.django_db


def test_a_piece_breaks_into_parts_below_its_number() -> None:
    _, pieces = cast_in_pieces()
    found = broken(pieces[3], "120.4", "88.1", "40.2", crumbs=Part(D("1.3"), D("0.1")), n_crumbs=9)
    assert [c.number for c in found.children] == ["2016.1.4.1", "2016.1.4.2", "2016.1.4.3"]
    assert found.balance.verdict == "adds up"
    assert (found.crumbs.n, found.crumbs.piece) == (9, pieces[3])  # type: ignore[union-attr]
    assert {c.mass_state for c in found.children} == {"constant"}
    parent = Piece.objects.get(pk=pieces[3].pk)
    assert not parent.present
    assert parent.mass_g == D("250.0")


def test_what_is_missing_stays_on_record() -> None:
    _, pieces = cast_in_pieces()
    found = broken(pieces[3], "120.4", "88.1", "40.2")
    assert found.balance.unexplained_g == D("1.3")


def test_a_broken_piece_does_not_break_again() -> None:
    cast, pieces = cast_in_pieces()
    broken(pieces[3], "120.4", "88.1")
    with pytest.raises(Hindered, match=r"2016\.1\.4 broke: it is 2016\.1\.4\.1 and 2016\.1\.4\.2 now"):
        broken(pieces[3], "1", "2")
    for deed in ("move", "lend", "treat", "touch", "mount", "break"):
        gone = Subject(cast, Piece.objects.get(pk=pieces[3].pk))
        assert "broke" in what_hinders(gone, deed)[0].sentence


def test_a_whole_cast_breaks_into_its_first_pieces() -> None:
    cast = builders.cast("2014.9", mass_g=D("250.0"), mass_state="constant")
    found = break_piece(builders.saar(), Subject(cast), [Part(D("150")), Part(D("100"))])
    assert [c.number for c in found.children] == ["2014.9.1", "2014.9.2"]
    assert found.balance.verdict == "adds up"
    with pytest.raises(Hindered, match="in pieces"):
        break_piece(builders.saar(), Subject(cast), [Part(D("150")), Part(D("100"))])


@pytest.mark.parametrize(
    ("masses", "words"), [(["250"], "two or more"), (["0", "1"], "above zero"), (["300", "1"], "more than the 250")]
)
def test_what_cannot_be_is_refused(masses: list[str], words: str) -> None:
    _, pieces = cast_in_pieces()
    with pytest.raises(Refusal, match=words):
        broken(pieces[3], *masses)
    assert Piece.objects.filter(parent=pieces[3]).count() == 0
    assert Piece.objects.get(pk=pieces[3].pk).present


def test_a_join_goes_on_with_the_part_that_carries_the_face() -> None:
    _, pieces = cast_in_pieces()
    a, b, c, d = face(pieces[3]), face(pieces[4]), face(pieces[3]), face(pieces[2])
    kept, unsure = joined(a, b), joined(c, d)
    found = broken(pieces[3], "120", "130", faces_to={"a": 1})
    assert BreakFace.objects.get(pk=a.pk).piece == found.children[1]
    assert "carried by 2016.1.4.2 now" in " ".join(found.consequences)
    assert "face b, joined to 2016.1.3/a, is not known yet" in " ".join(found.consequences)
    assert {Join.objects.get(pk=j.pk).state for j in (kept, unsure)} == {"fixed"}
    assert face_at(builders.imke(), "2016.1.4/a").number == "2016.1.4.2/a"
    place_face(builders.saar(), c.pk, found.children[0])
    assert face_at(builders.imke(), "2016.1.4/b").number == "2016.1.4.1/b"


def test_new_faces_come_in_pairs_that_fit() -> None:
    _, pieces = cast_in_pieces()
    face(pieces[3])
    found = broken(pieces[3], "120", "130", faces_to={"a": 0}, fits=[(0, 1)])
    join = Join.objects.get(from_breakage=True)
    assert {join.face_a.number, join.face_b.number} == {"2016.1.4.1/b", "2016.1.4.2/b"}
    assert join.state == "dry fit"
    assert found.children[0].faces.count() == 2


def test_a_chip_is_damage_on_the_same_number() -> None:
    cast, pieces = cast_in_pieces()
    found = damage_body(
        builders.saar(), Subject(cast, pieces[0]), mass_after=Part(D("244.0"), D("0.1")), crumbs=Part(D("6.0"))
    )
    assert found.balance.verdict == "adds up"
    now = Piece.objects.get(pk=pieces[0].pk)
    assert (now.present, now.mass_g, now.version) == (True, D("244.0"), 2)


def test_an_assembled_cast_comes_apart_along_old_joins() -> None:
    _, pieces = cast_in_pieces()
    join = joined(face(pieces[0]), face(pieces[1]))
    break_joins(builders.saar(), [join], note="the wall failed")
    assert Join.objects.get(pk=join.pk).state == "failed"
    assert Piece.objects.filter(present=True).count() == 7
    with pytest.raises(Hindered, match="stays on record"):
        break_joins(builders.saar(), [join])


def test_a_breakage_recorded_wrongly_is_taken_back() -> None:
    cast, pieces = cast_in_pieces()
    a, b = face(pieces[3]), face(pieces[4])
    joined(a, b)
    found = broken(pieces[3], "120", "129", crumbs=Part(D("1")), faces_to={"a": 0}, fits=[(0, 1)])
    take_back_breaking(builders.imke(), Subject(cast, pieces[3]))
    assert Piece.objects.get(pk=pieces[3].pk).present
    assert BreakFace.objects.get(pk=a.pk).piece == pieces[3]
    assert Join.objects.get(from_breakage=True).state == "undone"
    assert CrumbLot.objects.get().mass_g is None
    assert {c.struck_off for c in Piece.objects.filter(parent=pieces[3])} == {"the breakage was recorded wrongly"}
    again = broken(pieces[3], "120", "130")
    assert again.children[0].suffix == "4.3"
    assert found.children[0].suffix == "4.1"


def test_what_was_built_on_hinders_taking_back() -> None:
    cast, pieces = cast_in_pieces()
    found = broken(pieces[3], "120", "130")
    joined(face(found.children[0]), face(pieces[0]), "dry fit")
    with pytest.raises(Hindered, match=r"2016\.1\.4\.1/a was joined to 2016\.1\.1/a"):
        take_back_breaking(builders.imke(), Subject(cast, pieces[3]))
    other = broken(pieces[5], "120", "130")
    broken(other.children[0], "60", "60")
    with pytest.raises(Hindered, match=r"2016\.1\.6\.1 is no longer whole"):
        take_back_breaking(builders.imke(), Subject(cast, pieces[5]))


def test_the_database_itself_holds_one_standing_join_a_face() -> None:
    _, pieces = cast_in_pieces()
    a, b, c = face(pieces[0]), face(pieces[1]), face(pieces[2])
    join = joined(a, b)
    facts = {"cast": join.cast, "state": "dry fit", "on": join.on, "created_at": join.created_at}
    with pytest.raises(IntegrityError, match="one standing join"):
        Join.objects.create(face_a=b, face_b=c, changed_at=join.changed_at, **facts)
