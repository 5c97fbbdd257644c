"""The frame of a write, on a real record of the house: a site."""

from __future__ import annotations

import pytest

from catalog.excavations.models import Site
from catalog.ground import guards, search
from catalog.ground.acting import action, attempt, locked, rehearse, store
from catalog.ground.numbers import never_below, next_number
from catalog.ground.refusal import Hindered, NotAllowed, Refusal, Stale
from catalog.ground.roles import Actor
from tests import builders

pytestmark = pytest.mark.django_db


@action("site.write")
def name_site(actor: Actor, name: str) -> Site:
    return store(Site(name=name))


@action("site.write")
def rename_site(actor: Actor, pk: int, name: str, *, expected_version: int | None = None) -> Site:
    site = locked(Site, expected_version, pk=pk)
    site.name = name
    return store(site)


def test_an_act_writes_who_and_when_and_a_history_row() -> None:
    site = name_site(builders.imke(), "North Creek")
    assert site.created_by.name == "Imke Roodenburg"
    rename_site(builders.tobias(), site.pk, "South Creek")
    newest, oldest = site.history.all()
    assert (oldest.name, newest.name) == ("North Creek", "South Creek")
    assert newest.history_user.name == "Tobias Wren"
    assert newest.history_change_reason == "site.write"
    assert newest.version == 2


def test_what_did_not_change_is_not_written_again() -> None:
    site = name_site(builders.imke(), "North Creek")
    rename_site(builders.imke(), site.pk, "North Creek")
    assert site.history.count() == 1


def test_who_may_not_is_refused_and_told_who_may() -> None:
    with pytest.raises(NotAllowed, match="Only a registrar or the keeper may do this"):
        name_site(builders.saar(), "North Creek")
    assert not Site.objects.exists()


def test_the_second_to_save_is_shown_the_first() -> None:
    site = name_site(builders.imke(), "North Creek")
    rename_site(builders.tobias(), site.pk, "South Creek", expected_version=1)
    with pytest.raises(Stale) as refused:
        rename_site(builders.imke(), site.pk, "East Creek", expected_version=1)
    assert refused.value.now.name == "South Creek"


def test_what_only_the_database_refuses_is_said_in_our_words() -> None:
    name_site(builders.imke(), "North Creek")
    with pytest.raises(Hindered, match="A site of this name is there already"):
        name_site(builders.imke(), "North Creek")


def test_a_rehearsal_leaves_nothing() -> None:
    assert rehearse(lambda: name_site(builders.imke(), "North Creek")).name == "North Creek"
    assert not Site.objects.exists()
    assert not search.find("North Creek")


def test_a_refused_row_of_many_leaves_the_others() -> None:
    @action("site.write")
    def name_many(actor: Actor, names: list[str]) -> list[object]:
        return [attempt(lambda n=n: name_site(actor, n)) for n in names]

    _, second, _ = name_many(builders.imke(), ["North Creek", "North Creek", "Dune 3"])
    assert isinstance(second, Refusal)
    assert set(Site.objects.values_list("name", flat=True)) == {"North Creek", "Dune 3"}


def test_an_act_makes_its_thing_findable_even_misspelt() -> None:
    name_site(builders.imke(), "North Creek")
    assert [e.title for e in search.find("nroth creek")] == ["North Creek"]


def test_every_guard_of_the_code_stands_in_the_database() -> None:
    assert guards.GUARDS
    assert guards.missing() == []


def test_numbers_go_on_above_what_was_used_on_paper() -> None:
    @action("site.write")
    def numbers(actor: Actor) -> list[int]:
        never_below("accession 2026", 14)
        return [next_number("accession 2026"), next_number("accession 2026")]

    assert numbers(builders.imke()) == [15, 16]
