"""Mounts, their supports and what is on them: numbers, loads, what hinders moving and lending."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal as D
from typing import Any

import pytest

from catalog.casts.actions import hold_cast
from catalog.casts.subject import (
    Subject,
    built_on,
    cast_left,
    piece_became,
    piece_broke,
    what_hinders,
)
from catalog.ground import say
from catalog.ground.acting import action
from catalog.ground.asks import bearer_of, history_of
from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, NotAllowed, Refusal, Stale
from registry.mounts import actions, reads
from registry.mounts.models import Mount, Mounted, Support
from registry.mounts.said import MountedSaid, MountSaid, SupportSaid
from registry.places.actions import add_place, move
from registry.places.reads import about_moving, place_now
from tests import builders
from tests.registry.mounts.makers_mounts import anew, frame, looked, stands, word

pytestmark = pytest.mark.django_db
LEVER = D("9.80665")


def test_a_mount_that_is_a_place_bears_its_code_and_others_a_number_of_their_own() -> None:
    mount, places = frame()
    assert (mount.number, mount.place) == ("F-1", places["F-1"])
    add_place(builders.imke(), "M-2", "Cupboard", "unit")
    board = actions.add_mount(builders.ottilie(), MountSaid("board", "Board of the wasp"))
    rod = actions.add_mount(builders.ottilie(), MountSaid("rod", "Rod", stands_in=places["H"]))
    assert [m.number for m in (board, rod)] == ["M-1", "M-3"]
    assert board.place is None
    assert (rod.place.code, rod.place.parent, rod.place.movable) == ("M-3", places["H"], False)
    assert [b.kind for b in bearer_of(builders.imke(), "m-1")] == ["mount"]
    assert [b.kind for b in bearer_of(builders.imke(), "F-1")] == ["place"]


def test_a_place_is_one_mount_only() -> None:
    _, places = frame()
    with pytest.raises(Refusal, match="F-1 is a mount already"):
        actions.add_mount(builders.ottilie(), MountSaid("frame", "Frame", place=places["F-1"]))


@pytest.mark.parametrize("changes, sentence", [
    ({"kind": "hook"}, "A mount is one of these"), ({"name": " "}, "Write what the mount is called"),
    ({"mass_g": D(-1)}, "A mass is above nothing"), ({"dynamic": D("0.5")}, "What handling adds"),
    ({"inspect_months": 0}, "every 1 to 120 months"), ({"people_needed": 0}, "how many people"),
    ({"x_mm": D(10) ** 6}, "within 100 metres"), ({"gear": "x" * 301}, "Shorten this to 300"),
])  # fmt: skip
def test_what_is_wrong_with_a_mount_is_named_and_nothing_is_written(changes: dict[str, Any], sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence):
        actions.add_mount(builders.ottilie(), MountSaid(**({"kind": "board", "name": "Board"} | changes)))
    assert not Mount.objects.exists()


@pytest.mark.parametrize("changes, sentence", [
    ({"number": "1"}, "There is a support 1 already"), ({"number": "a b"}, "called by a letter or a figure"),
    ({"x_mm": None}, "how far from the left"), ({"capacity_n": D(0)}, "above nothing, in newtons"),
    ({"capacity_n": D(100)}, "where this capacity is from"), ({"safety": D("0.9")}, "1 or more"),
    ({"angle_deg": D(60)}, "for a wire that hangs"),
])  # fmt: skip
def test_what_is_wrong_with_a_support_is_named(changes: dict[str, Any], sentence: str) -> None:
    mount, _ = frame()
    said: dict[str, Any] = {"number": "5", "x_mm": D(1), "y_mm": D(2)} | changes
    with pytest.raises(Refusal, match=sentence):
        actions.add_support(builders.ottilie(), mount, SupportSaid(**said))
    assert Support.objects.count() == 4


def test_the_load_on_each_foot_comes_from_the_pieces() -> None:
    """By hand: 40 kg in the middle of 1000 x 600 mm: a quarter each if all sit equally, half at worst."""
    mount, _ = frame()
    cast = builders.cast("2011.3", mass_g=D(99_000))
    for n in range(1, 5):
        builders.piece(cast, str(n), mass_g=D(10_000))
    stands(mount, cast)
    loaded = reads.load_of(anew(mount)).now
    assert loaded.mass_g == 40_000
    assert [s.even_n for s in loaded.supports] == [pytest.approx(float(10 * LEVER))] * 4
    assert [s.worst_n for s in loaded.supports] == [pytest.approx(float(20 * LEVER))] * 4
    assert loaded.supports[0].use == pytest.approx(float(20 * LEVER) * 2 / 600)


def test_a_cast_without_pieces_counts_with_its_own_mass_and_the_frame_with_its_own() -> None:
    mount, _ = frame(mass_g=D(20_000), x_mm=D(500), y_mm=D(300))
    stands(mount, builders.cast("2011.3", mass_g=D(40_000), mass_state="wet"))
    loaded = reads.load_of(anew(mount))
    assert loaded.now.mass_g == 60_000
    assert "A wet mass of 2011.3 is in the loads." in loaded.notes


def test_pieces_not_weighed_leave_no_load() -> None:
    mount, _ = frame()
    cast = builders.cast("2011.3")
    builders.piece(cast, "1", mass_g=D(10_000))
    builders.piece(cast, "2")
    stands(mount, cast)
    assert "Not weighed: 2011.3" in reads.load_of(anew(mount)).now.no_answer
    for n in range(3, 25):
        builders.piece(cast, str(n), mass_g=D(10))
    loaded = reads.load_of(anew(mount))
    assert loaded.now.mass_g == 10_220
    assert "One piece of 2011.3 not weighed" in " ".join(loaded.notes)


def test_a_broken_piece_weighs_what_is_left_of_it() -> None:
    mount, _ = frame()
    cast = builders.cast()
    whole = builders.piece(cast, "4", mass_g=D(500))
    actions.mount_cast(builders.ottilie(), mount, Subject(cast, whole), MountedSaid())
    with builders.by_hand():
        whole.present = False
        whole.save()
    builders.piece(cast, "4.1", mass_g=D(300), parent=whole)
    builders.piece(cast, "4.2", mass_g=D(180), parent=whole)
    assert reads.load_of(anew(mount)).now.mass_g == 480


def test_a_change_of_a_support_is_kept_and_a_second_hand_is_told() -> None:
    mount, _ = frame()
    one = mount.standing[0]
    actions.change_support(builders.ottilie(), one.pk, {"x_mm": D(5)}, expected_version=one.version)
    with pytest.raises(Stale):
        actions.change_support(builders.ottilie(), one.pk, {"x_mm": D(7)}, expected_version=one.version)
    assert Support.objects.get(pk=one.pk).x_mm == 5
    actions.take_support_away(builders.ottilie(), one.pk, "cut off when the frame was made smaller")
    assert [s.number for s in anew(mount).standing] == ["2", "3", "4"]


# moving and lending


def test_what_is_on_a_mount_that_stays_is_not_moved_and_not_lent() -> None:
    mount, places = frame()
    cast = builders.cast("2011.3", mass_g=D(40_000))
    stands(mount, cast)
    assert place_now(Subject(cast)) == places["F-1"]
    said = "2011.3 is on F-1, a mount that is not to be moved without its plan and four people."
    for deed in ("move", "lend"):
        (reason,) = what_hinders(Subject(cast), deed)
        assert (reason.sentence, reason.remedy) == (said, "/mounts/F-1/")
    assert what_hinders(Subject(cast), "treat") == []
    assert [r.sentence for r in about_moving(builders.tobias(), Subject(cast)).barred] == [said]
    with pytest.raises(Hindered, match="not to be moved without its plan"):
        move(builders.tobias(), Subject(cast), places["B-3"], because="to be photographed")


def test_a_piece_of_a_mounted_cast_stays_too_unless_it_stands_elsewhere() -> None:
    mount, places = frame()
    cast = builders.cast("2011.3", mass_g=D(40_000))
    here, loose = builders.piece(cast, "1", mass_g=D(1)), builders.piece(cast, "2", mass_g=D(1))
    move(builders.imke(), Subject(cast, loose), places["B-3"])
    stands(mount, cast)
    assert what_hinders(Subject(cast, here), "move")
    assert what_hinders(Subject(cast, loose), "move") == []


def test_a_mount_without_a_plan_to_keep_lets_its_cast_be_moved() -> None:
    mount, _ = frame(stays=False)
    cast = builders.cast("2011.3", mass_g=D(40_000))
    stands(mount, cast)
    assert what_hinders(Subject(cast), "move") == []


def test_a_thing_is_on_one_mount() -> None:
    mount, _ = frame()
    cast = builders.cast("2011.3")
    stands(mount, cast)
    board = actions.add_mount(builders.ottilie(), MountSaid("board", "Board"))
    with pytest.raises(Hindered, match=r"2011\.3 is on F-1 already"):
        stands(board, cast)
    assert Mounted.objects.count() == 1


def test_taken_off_by_the_plan_it_is_moved_and_free_again() -> None:
    mount, places = frame()
    cast = builders.cast("2011.3")
    row = stands(mount, cast)
    with pytest.raises(Refusal, match="Write how it was taken down"):
        actions.unmount(builders.ottilie(), row.pk, words=" ", to=places["B-3"])
    with pytest.raises(Refusal, match="Write where it goes"):
        actions.unmount(builders.ottilie(), row.pk, words="by the plan")
    actions.unmount(builders.ottilie(), row.pk, words="by the plan, with Saar, Imke and Lenno", to=places["B-3"])
    assert place_now(Subject(cast)) == places["B-3"]
    assert what_hinders(Subject(cast), "lend") == []
    assert any("Taken off F-1: by the plan" in e.sentence for e in history_of(builders.imke(), cast))


def test_nothing_is_put_on_before_today_is_over_or_taken_off_before_it_was_put_on() -> None:
    mount, places = frame()
    cast = builders.cast("2011.3")
    with pytest.raises(Refusal, match="This day has not come yet"):
        stands(mount, cast, on=today() + timedelta(days=1))
    row = stands(mount, cast)
    with pytest.raises(Refusal, match="before it was put on"):
        actions.unmount(builders.ottilie(), row.pk, words="so", to=places["B-3"], on=today() - timedelta(days=1))


def test_a_cast_that_leaves_our_care_is_on_no_mount() -> None:
    mount, _ = frame()
    cast = builders.cast("2011.3")
    stands(mount, cast)

    @action(None)
    def leaves(actor: Any) -> list[str]:
        return cast_left(hold_cast(cast.pk), "given back")

    assert "2011.3 is no longer on F-1." in leaves(builders.imke())
    assert not Mounted.objects.filter(off_on__isnull=True).exists()


def test_a_piece_that_goes_by_another_number_stays_on_its_mount() -> None:
    mount, _ = frame()
    piece = builders.piece(builders.cast(), "4", mass_g=D(500))
    row = actions.mount_cast(builders.ottilie(), mount, Subject(piece.cast, piece), MountedSaid(x_mm=D(3), y_mm=D(4)))
    other = builders.piece(builders.cast("2016.4"), "1", mass_g=D(500))
    assert f"2016.1.4 was put on F-1 on {say.day(today())}." in built_on([piece])

    @action(None)
    def becomes(actor: Any) -> list[str]:
        return piece_became(piece, other)

    assert "2016.4.1 is on F-1." in becomes(builders.imke())
    assert Mounted.objects.get(pk=row.pk).off_words == "goes by 2016.4.1 from now on"
    assert [(str(r.thing), r.x_mm) for r in anew(mount).on_it] == [("2016.4.1", 3)]


def test_a_breakage_on_a_mount_asks_for_a_look_at_its_supports() -> None:
    mount, _ = frame()
    cast = builders.cast("2011.3", mass_g=D(40_000))
    piece = builders.piece(cast, "7", mass_g=D(500))
    stands(mount, cast)
    assert "2011.3.7 is on F-1: its loads are reckoned anew. Look at its supports." in piece_broke(piece, [])


# overhead


def test_nothing_is_hung_overhead_without_an_engineers_word_and_a_change_takes_its_force() -> None:
    mount, _ = frame(holding="hanging", overhead=True)
    cast = builders.cast("2014.2", mass_g=D(3905))
    with pytest.raises(Hindered, match="F-1 is overhead: a qualified engineer's word is wanted"):
        stands(mount, cast)
    word(mount)
    stands(mount, cast)
    assert reads.word_holds(anew(mount))
    actions.change_support(builders.ottilie(), mount.standing[0].pk, {"capacity_n": D(900)})
    assert not reads.word_holds(anew(mount))


def test_only_the_keeper_writes_an_engineers_word() -> None:
    mount, _ = frame()
    from tests.registry.mounts.makers_mounts import WordSaid

    said = WordSaid("Hanne Voss", "chartered engineer", today(), "safe", "letter")
    for who in (builders.imke(), builders.ottilie(), builders.saar()):
        with pytest.raises(NotAllowed):
            actions.release_mount(who, mount, said)
    with pytest.raises(NotAllowed):
        looked(mount, by=builders.saar())
