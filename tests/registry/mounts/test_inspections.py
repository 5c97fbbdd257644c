"""Inspections: every support judged, a failed one closes the space below until an engineer's word is on record."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal as D
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from catalog.casts.subject import Subject, what_hinders
from catalog.ground.asks import history_of, todays_work
from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, Refusal
from registry.mounts import actions, reads
from registry.mounts.models import MountInspection
from registry.mounts.rules.inspections import months_on
from registry.mounts.said import FoundSaid, InspectionSaid
from registry.places.actions import move
from registry.places.reads import about_moving
from tests import builders
from tests.registry.mounts.makers_mounts import TRAINED, anew, days_ago, frame, looked, stands, word

pytestmark = pytest.mark.django_db


def loaded_frame(**more: Any) -> tuple[Any, Any, Any]:
    mount, places = frame(**more)
    cast = builders.cast("2011.3", mass_g=D(40_000))
    stands(mount, cast)
    return mount, places, cast


def told(reader: Any) -> list[str]:
    return [d.sentence for d in todays_work(reader) if d.number == "F-1"]


def test_an_inspection_sets_the_next_day_by_its_interval() -> None:
    mount, _, _ = loaded_frame()
    looked(mount, on=days_ago(3))
    assert anew(mount).inspect_by == months_on(days_ago(3), 12)
    assert [s.state for s in anew(mount).standing] == ["sound"] * 4
    assert "Inspected: all sound." in [e.sentence for e in history_of(builders.imke(), mount)]


@pytest.mark.parametrize("day, months, then", [
    ((2026, 1, 31), 1, (2026, 2, 28)), ((2024, 2, 29), 12, (2025, 2, 28)), ((2025, 11, 3), 3, (2026, 2, 3)),
])  # fmt: skip
def test_so_many_months_on(day: Any, months: int, then: Any) -> None:
    """By the calendar; the last of a shorter month."""
    from datetime import date

    assert months_on(date(*day), months) == date(*then)


def test_a_failed_support_closes_the_space_and_names_who_bears_too_much() -> None:
    """By hand: 40 kg at (700, 300): without foot 3 the triangle 1 2 4 tips over its long side; without 1, 3 gets .5 W."""
    mount, _places, _ = loaded_frame(capacity_n=500)
    done = looked(mount, _3="fail")
    assert done.consequences[0] == "Support 3 of F-1 has failed."
    assert any("F-1 and Stair hall are closed until a qualified engineer's word" in s for s in done.consequences)
    closed = anew(mount)
    assert closed.closed_on == today()
    loaded = reads.load_of(closed)
    assert loaded.left_out == ["3"]
    # three feet 1, 2, 4: the centre lies on the line from 2 to 4, which carry half each: 196.133 N
    assert [round(s.worst_n, 3) for s in loaded.without.supports] == [0.0, 196.133, 196.133]


def test_over_loaded_supports_are_named_without_the_failed_one() -> None:
    mount, _, _ = loaded_frame(capacity_n=390)
    assert reads.load_of(anew(mount)).now.over == ["1", "2", "3", "4"]  # half the weight twice safe is 392 N
    done = looked(mount, _3="fail")
    assert "Without it, supports 2 and 4 may bear too much." in done.consequences


def test_nothing_is_moved_below_or_put_there_until_the_word() -> None:
    mount, places, cast = loaded_frame(stays=False)
    below = builders.cast("2016.1")
    move(builders.imke(), Subject(below), places["H"])
    looked(mount, _2="fail")
    assert "2011.3 is on F-1. F-1 is closed since" in what_hinders(Subject(cast), "move")[0].sentence
    for deed in ("move", "touch", "treat"):
        assert "2016.1 stands in a closed space." in what_hinders(Subject(below), deed)[0].sentence
    other = builders.cast("2016.4")
    move(builders.imke(), Subject(other), places["B-3"])
    with pytest.raises(Hindered, match=r"F-1 is closed since .*, and so is Stair hall"):
        move(builders.imke(), Subject(other), places["H"])
    with pytest.raises(Hindered, match="closed"):
        move(builders.imke(), places["K-12"], places["F-1"])
    assert any("closed since" in r.sentence for r in about_moving(builders.imke(), Subject(other), places["H"]).barred)
    word(mount)
    assert what_hinders(Subject(below), "move") == []
    move(builders.imke(), Subject(other), places["H"])


def test_looking_again_does_not_open_it_and_a_word_that_says_no_neither() -> None:
    mount, _, _ = loaded_frame()
    looked(mount, _2="fail")
    looked(mount)
    assert anew(mount).closed_on == today()
    word(mount, "not safe")
    assert anew(mount).closed_on == today()
    word(mount, "safe with conditions")
    assert anew(mount).closed_on is None


def test_a_later_written_inspection_of_an_earlier_day_closes_but_does_not_set_the_date_back() -> None:
    mount, _, _ = loaded_frame()
    looked(mount, on=days_ago(1))
    due = anew(mount).inspect_by
    looked(mount, on=days_ago(9), _4="watch")
    assert anew(mount).inspect_by == due
    assert {s.number: s.state for s in anew(mount).standing}["4"] == "sound"
    looked(mount, on=days_ago(8), _4="fail")
    assert anew(mount).closed_on == days_ago(8)


def test_keeper_and_registrar_are_told_at_once_and_nobody_else() -> None:
    mount, _, _ = loaded_frame()
    looked(mount, _2="fail")
    for reader in (builders.imke(), builders.tobias()):
        (said, *_rest) = told(reader)
        assert said == "F-1: support 2 failed; F-1 and Stair hall are closed. An engineer's word is wanted."
    for reader in (builders.saar(), builders.lenno(), builders.ottilie()):
        assert not [s for s in told(reader) if "failed" in s]
    word(mount)
    assert not [s for s in told(builders.imke()) if "failed" in s]


def test_what_is_due_is_on_today_for_who_may_inspect() -> None:
    mount, _, _ = loaded_frame()
    looked(mount, on=months_on(today(), -12) - timedelta(days=4))
    assert "F-1, Frame 1: inspection due four days late" in told(builders.ottilie())[0]
    assert told(builders.saar()) == []
    looked(mount)
    assert told(builders.ottilie()) == []


@pytest.mark.parametrize("found, more, sentence", [
    ((), {}, "Say how support 1 is"),
    ((FoundSaid("1", "fine"),), {}, "sound, to be watched, or failed"),
    ((FoundSaid("9", "sound"),), {}, "There is no support 9"),
    ((FoundSaid("1", "sound"), FoundSaid("1", "fail")), {}, "judged twice"),
    ((FoundSaid("1", "watch", ("rust",)),), {}, "A sign is one of"),
    ((), {"competence": " "}, "what makes this person fit"),
    ((), {"on": today}, "This day has not come yet"),
    ((), {"clearance": "wide"}, "This is one of: kept"),
])  # fmt: skip
def test_what_is_wrong_with_an_inspection_is_named_and_not_written(
    found: Any, more: dict[str, Any], sentence: str
) -> None:
    mount, _, _ = loaded_frame()
    said = {"competence": TRAINED} | {n: v() + timedelta(days=1) if n == "on" else v for n, v in more.items()}
    with pytest.raises(Refusal, match=sentence):
        actions.inspect_mount(builders.ottilie(), mount, InspectionSaid(found, **said))
    assert not MountInspection.objects.exists()


def test_a_mount_without_supports_cannot_be_inspected() -> None:
    mount, _, _ = loaded_frame()
    for s in mount.standing:
        actions.take_support_away(builders.ottilie(), s.pk, "gone")
    with pytest.raises(Refusal, match="No support is on record yet"):
        looked(anew(mount))


@pytest.mark.parametrize("more, sentence", [
    ({"engineer": " "}, "Write the engineer's name"), ({"qualification": ""}, "licence or qualification"),
    ({"paper": ""}, "which paper"), ({"on": None}, "on which day"), ({"says": "fine"}, "An engineer says one of"),
    ({"says": "safe with conditions", "conditions": ""}, "under which conditions"),
])  # fmt: skip
def test_an_engineers_word_is_whole_or_not_written(more: dict[str, Any], sentence: str) -> None:
    mount, _, _ = loaded_frame()
    looked(mount, _2="fail")
    with pytest.raises(Refusal, match=sentence):
        word(mount, **more)
    assert anew(mount).closed_on


def test_an_inspection_is_never_edited_not_even_behind_the_back() -> None:
    mount, _, _ = loaded_frame()
    looked(mount)
    with pytest.raises(IntegrityError, match="never edited"), transaction.atomic():
        MountInspection.objects.update(competence="none")


def test_the_failed_support_is_not_taken_away_before_the_word() -> None:
    mount, _, _ = loaded_frame()
    looked(mount, _2="fail")
    with pytest.raises(Hindered, match="qualified engineer's word"):
        actions.take_support_away(builders.ottilie(), anew(mount).standing[1].pk, "bent")
