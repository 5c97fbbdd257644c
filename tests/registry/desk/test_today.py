"""Today: late first, then what waits, then what is coming; by role; and that no copy of the data was made."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from catalog.casts import actions
from catalog.ground.acting import store
from catalog.ground.collection import today
from catalog.ground.models import Collection
from registry.desk.reads import todays_groups
from registry.desk.rules import big_acts, how_much_waits
from tests import builders
from tests.registry.desk.makers_desk import described

pytestmark = pytest.mark.django_db

WHO = ["Imke Roodenburg", "Tobias Wren", "Saar Osei", "Ottilie Brandt", "Lenno Haak"]


def copied(ago: timedelta) -> None:
    ours = builders.collection()
    with builders.by_hand():
        ours.last_copy_on = timezone.now() - ago
        store(ours)


def page(client: Any, name: str, **query: str) -> str:
    answer = builders.signed_in(client, name).get("/today/", query)
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.parametrize("name", WHO)
def test_today_begins_with_a_sentence_for_everybody(client: Any, name: str) -> None:
    builders.collection()
    said = page(client, name)
    assert name in said
    assert "for you." in said


@pytest.mark.parametrize(
    "name, offered, refused",
    [
        ("Imke Roodenburg", ["Bring in an object", "Move", "Print labels"], []),
        ("Tobias Wren", ["Bring in an object", "Open the register"], []),
        ("Saar Osei", ["Bring in an object", "Write an excavation"], []),
        ("Ottilie Brandt", ["Bring in an object", "Print labels"], ["Write an excavation"]),
        ("Lenno Haak", ["Look at the casts"], ["Bring in an object", "Move</a>", "Print labels"]),
    ],
)
def test_the_big_acts_are_those_of_the_role(client: Any, name: str, offered: list[str], refused: list[str]) -> None:
    said = page(client, name).split('<svg class="groundline')[0].split("<main")[1]
    assert [a for a in offered if a not in said] == []
    assert [a for a in refused if a in said] == []


def test_nobody_is_offered_an_act_that_is_refused() -> None:
    from catalog.ground.roles import Actor, may

    for role in ("registrar", "keeper", "technician", "preparator", "reader"):
        reader = Actor(account_id=1, roles=frozenset({role}))
        assert [a.words for a in big_acts(reader.roles) if not may(reader, a.act)] == []


def test_nothing_waits_when_nothing_does(client: Any) -> None:
    copied(timedelta(hours=1))
    assert "Nothing waits for you." in page(client, "Lenno Haak")


@pytest.mark.parametrize(
    "n, late, sentence",
    [
        (0, 0, "Nothing waits for you."),
        (1, 0, "One thing waits for you."),
        (1, 1, "One thing waits for you. It is late."),
        (7, 2, "Seven things wait for you. Two are late."),
        (7, 1, "Seven things wait for you. One is late."),
        (12, 12, "12 things wait for you. All are late."),
    ],
)
def test_the_sentence_counts(n: int, late: int, sentence: str) -> None:
    assert how_much_waits(n, late) == sentence


def test_the_keeper_reads_which_determination_waits(client: Any) -> None:
    actions.determine(builders.saar(), described("2016.1"), words="a wasp", ground="form of the nest")
    said = page(client, "Tobias Wren")
    assert "Waits for you" in said
    assert "was determined as a wasp" in said
    assert ">2016.1</a>" in said
    assert "was determined as a wasp" not in page(client, "Saar Osei")


def test_late_comes_first_and_the_oldest_before_the_rest(client: Any) -> None:
    actions.determine(builders.saar(), described("2016.1"), words="a wasp", ground="form of the nest")
    said = page(client, "Tobias Wren")
    assert said.index(">Late<") < said.index(">Waits for you<")


def test_a_long_list_is_parted_and_can_be_seen_whole(client: Any) -> None:
    for n in range(15):
        actions.determine(builders.saar(), described(f"2016.{n + 1}"), words="a wasp", ground="form of the nest")
    said = page(client, "Tobias Wren")
    assert said.count("was determined as") == 12
    assert "And 3 more" in said
    assert page(client, "Tobias Wren", all="waits").count("was determined as") == 15


def test_the_figure_beside_today_is_what_today_says(client: Any) -> None:
    copied(timedelta(hours=1))
    actions.determine(builders.saar(), described("2016.1"), words="a wasp", ground="form of the nest")
    builders.signed_in(client, "Tobias Wren")
    for address in ("/today/", "/find/"):
        assert '<span class="count">1<span' in client.get(address).content.decode()


def test_today_makes_no_more_queries_when_more_waits(client: Any) -> None:
    def fill(numbers: range) -> None:
        for n in numbers:
            actions.determine(builders.saar(), described(f"2016.{n}"), words="a wasp", ground="form of the nest")

    builders.signed_in(client, "Tobias Wren")

    def cost() -> int:
        with CaptureQueriesContext(connection) as captured:
            assert client.get("/today/", {"all": "waits"}).status_code == 200
        return len(captured)

    fill(range(1, 4))
    few = cost()
    fill(range(4, 31))
    assert cost() == few


# copies


def test_the_heads_are_told_that_no_copy_was_ever_made(client: Any) -> None:
    builders.collection()
    for name in ("Imke Roodenburg", "Tobias Wren"):
        assert "No copy of the data was ever made." in page(client, name)
    for name in ("Saar Osei", "Lenno Haak", "Ottilie Brandt"):
        assert "No copy" not in page(client, name)


@pytest.mark.parametrize("hours, told", [(1, False), (35, False), (37, True), (24 * 40, True)])
def test_a_copy_is_asked_for_after_36_hours(hours: int, told: bool) -> None:
    copied(timedelta(hours=hours))
    sentences = [r.before for g in todays_groups(builders.imke(), today()) for r in g.rows]
    assert any("No copy of the data was made since" in s for s in sentences) is told


def test_the_command_notes_a_copy(client: Any, capsys: Any) -> None:
    builders.collection()
    call_command("copy_made")
    assert capsys.readouterr().out.startswith("A copy is noted for today ")
    made = Collection.objects.get().last_copy_on
    assert made is not None
    assert timezone.now() - made < timedelta(minutes=1)
    assert "No copy" not in page(client, "Imke Roodenburg")
    assert "The last copy was noted today" in client.get("/help/keep-it-safe/").content.decode()


def test_there_is_nothing_to_copy_before_there_is_a_register() -> None:
    with pytest.raises(CommandError, match="no register here yet"):
        call_command("copy_made")


def test_a_noted_copy_stands_in_the_history_of_the_collection() -> None:
    builders.collection()
    call_command("copy_made")
    newest = Collection.objects.get().history.first()
    assert newest.history_change_reason == "note_copy"
