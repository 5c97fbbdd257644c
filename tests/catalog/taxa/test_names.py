"""Names of animals: written once, corrected, found however they are typed."""

from __future__ import annotations

from typing import Any

import pytest

from catalog.ground.refusal import NotAllowed, Refusal, Stale
from catalog.ground.search import find
from catalog.taxa import actions, reads
from catalog.taxa.models import Taxon
from tests import builders

pytestmark = pytest.mark.django_db


def ant(**more: Any) -> Taxon:
    facts = {
        "name": "Lasius flavus",
        "author": "(Fabricius, 1782)",
        "common_name": "meadow ant",
        "family": "Formicidae",
    }
    return actions.add_name(builders.ottilie(), facts | more)


def test_a_name_with_its_author_stands_on_the_list_once() -> None:
    ant()
    with pytest.raises(Refusal, match="on the list already"):
        ant(name="lasius  FLAVUS")
    assert ant(author="Latreille").pk
    with pytest.raises(Refusal, match="on the list already"):
        actions.correct_name(builders.ottilie(), Taxon.objects.last().pk, {"author": "(fabricius, 1782)"})


@pytest.mark.parametrize("words", ["Lasius flavus", "lasius  flavus", "Lasius flavus (Fabricius, 1782)", "Meadow ant"])
def test_a_name_is_meant_by_any_of_its_forms(words: str) -> None:
    there = ant()
    assert reads.taxon_named(words) == there
    assert reads.taxon_named(str(there.pk)) == there
    assert reads.taxon_named(str(there.uid)) == there


def test_two_of_one_name_mean_neither() -> None:
    ant()
    ant(author="Latreille")
    assert reads.taxon_named("Lasius flavus") is None
    assert reads.taxon_named("Lasius flavus Latreille").author == "Latreille"
    assert reads.taxon_named("") is None
    assert reads.taxon_named("nothing like it") is None


def test_a_chooser_finds_a_misspelt_name() -> None:
    there = ant()
    assert [e.object_id for e in find("lasius flavis", kinds=["taxon"])] == [there.pk]
    assert [e.object_id for e in find("medow ant", kinds=["taxon"])] == [there.pk]


@pytest.mark.parametrize(
    "said, sentence",
    [
        ({"name": " "}, "Write the scientific name"),
        ({"name": "123"}, "made of letters"),
        ({"name": "x" * 201}, "Shorten this to 200"),
        ({"rank": "tribe"}, "Choose one of these ranks"),
        ({"note": "x" * 10_001}, "Shorten this to 10000"),
    ],
)
def test_what_is_no_name_is_refused(said: dict[str, str], sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence):
        ant(**said)
    assert not Taxon.objects.exists()


def test_the_second_to_correct_a_name_is_told() -> None:
    there = ant()
    actions.correct_name(builders.saar(), there.pk, {"family": "Formicidae Latreille"}, expected_version=1)
    with pytest.raises(Stale):
        actions.correct_name(builders.ottilie(), there.pk, {"family": "ants"}, expected_version=1)
    with pytest.raises(NotAllowed):
        actions.add_name(builders.lenno(), {"name": "Apis mellifera"})


def test_the_pages_of_a_name(client: Any) -> None:
    builders.signed_in(client, "Ottilie Brandt")
    wrong = client.post("/taxa/new/", {"name": 'Bombus 🐝 "pratorum"', "note": "kept"})
    assert (wrong.status_code, "Choose one of these" in wrong.content.decode()) == (422, True)
    assert "Bombus 🐝 &quot;pratorum&quot;" in wrong.content.decode()
    made = client.post("/taxa/new/", {"name": "Bombus pratorum", "rank": "species", "key": "k" * 20})
    page = client.get(made["Location"]).content.decode()
    assert '<i class="latin" lang="la">Bombus pratorum</i>' in page
    changed = client.post(
        f"{made['Location']}change/",
        {"name": "Bombus pratorum", "rank": "species", "family": "Apidae", "version": 1, "key": "m" * 20},
    )
    assert changed.status_code == 302
    assert "Name changed: family." in client.get(made["Location"]).content.decode()
    listed = client.get("/taxa/?q=apid").content.decode()
    assert "Bombus pratorum" in listed
    assert builders.signed_in(client, "Lenno Haak").get("/taxa/new/").status_code == 403
