"""The one box: by number however it is typed, by a former number, misspelt, by place and person, in notes; and what to do."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from catalog.casts import actions
from tests import builders
from tests.registry.desk.makers_desk import described, determined, findable, place, published

pytestmark = pytest.mark.django_db


@pytest.fixture
def saar(client: Any) -> Any:
    return builders.signed_in(client, "Saar Osei")


def found(client: Any, text: str, **more: Any) -> str:
    answer = client.get("/find/", {"q": text} | more)
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


@pytest.mark.parametrize("typed", ["2016.1", "th 2016 1", "TH2016.1", "https://casts.example/Q/2016.1", " 2016.1 "])
def test_enter_on_a_number_opens_the_cast_however_it_is_typed(saar: Any, typed: str) -> None:
    described("2016.1")
    answer = saar.get("/find/", {"q": typed, "go": "1"})
    assert (answer.status_code, answer["Location"]) == (303, "/casts/2016.1/")


@pytest.mark.parametrize("typed", ["2016.1.3", "th 2016 1 3", "TH2016.1.3"])
def test_enter_on_the_number_of_a_piece_opens_the_piece(saar: Any, typed: str) -> None:
    builders.piece(described("2016.1"), "3")
    assert saar.get("/find/", {"q": typed, "go": "1"})["Location"] == "/casts/2016.1/3/"


def test_without_enter_the_number_stands_first_with_what_can_be_done(saar: Any) -> None:
    described("2016.1", description="Plaster cast of a mud shrimp burrow")
    page = found(saar, "2016.1")
    assert "This number" in page
    assert "Do with 2016.1" in page
    assert 'href="/movements/new/?of=2016.1"' in page
    assert "Publish it" not in page  # only a registrar or the keeper may


def test_a_reader_is_offered_nothing_that_is_refused(client: Any) -> None:
    described("2016.1")
    page = found(builders.signed_in(client, "Lenno Haak"), "2016.1")
    assert "This number" in page
    assert "Do with" not in page


def test_a_former_number_is_found_letter_for_letter_or_not(saar: Any) -> None:
    described("2011.3", formers=("Nest 7",))
    described("2012.4", formers=("Nest 70",))
    for typed in ("Nest 7", "nest7", "NEST-7"):
        page = found(saar, typed)
        assert 'href="/casts/2011.3/"' in page, typed
        assert "was “Nest 7”" in page
        assert "2012.4" not in page


def test_a_misspelt_animal_is_found_first(saar: Any) -> None:
    determined(described("2011.3", description="Nest in the dune"), "Colletes cunicularius", "dune bee")
    determined(described("2014.2", description="Burrow on the beach"), "Ocypode ceratophthalma", "ghost crab")
    page = found(saar, "colletis")
    assert 'href="/casts/2011.3/"' in page
    assert 'href="/casts/2014.2/"' not in page
    assert "Did you mean" in page
    assert "colletes" in page


def test_places_people_and_words_in_notes_are_found(saar: Any) -> None:
    place("B-3", "Shelf three in bay B")
    findable(builders.person("Jonna Beck", town="Fennevik"))
    described("2016.1", note="Lifted under the old willow")
    assert 'href="/places/B-3/"' in found(saar, "b 3") + found(saar, "shelf three")
    assert "Jonna Beck" in found(saar, "jona beck")
    page = found(saar, "willow")
    assert page.index("Also in notes") < page.index('href="/casts/2016.1/"')


def test_every_word_counts_before_most_of_them(saar: Any) -> None:
    described("2016.1", description="Plaster cast of a wasp nest")
    described("2016.2", description="Zinc cast of a wasp nest")
    page = found(saar, "zinc wasp")
    assert "2016.2" in page
    assert "/casts/2016.1/" not in page


def test_a_number_that_is_not_ours_says_what_is_near(saar: Any) -> None:
    for number in ("2026.14", "2026.15"):
        cast = described(number)
        cast.year = 2026
        with builders.by_hand():
            from catalog.ground.acting import store

            store(cast)
    page = found(saar, "2026.41")
    assert "2026.41 is not a number of ours." in page
    assert "Did you mean" in page
    assert "2026.14" in page
    assert "After 2026.15 none is given yet." in page


def test_a_sentence_opens_the_page_filled_in(saar: Any) -> None:
    described("2016.1")
    place("B-3", "Shelf three")
    answer = saar.get("/find/", {"q": "move 2016.1 to b 3", "go": "1"})
    assert (answer.status_code, answer["Location"]) == (303, "/movements/new/?of=2016.1&to=B-3")
    assert saar.get("/find/", {"q": "label 2016.1", "go": "1"})["Location"] == "/labels/?of=2016.1"
    assert saar.get("/find/", {"q": "bring in", "go": "1"})["Location"] == "/entries/new/"


def test_nothing_found_says_so(saar: Any) -> None:
    assert "Nothing of ours is called so." in found(saar, "zzyzx")


@pytest.mark.parametrize(
    "typed", ["", "   ", "'; drop table", "“Zoë's” 🐞", "x" * 5000, "%", "_", "a b c d e f g h i j k l m"]
)
def test_whatever_is_typed_is_answered(saar: Any, typed: str) -> None:
    assert saar.get("/find/", {"q": typed, "go": "1"}).status_code == 200


def test_what_is_typed_is_shown_as_text(saar: Any) -> None:
    assert "<script>alert" not in found(saar, "<script>alert(1)</script>")


# visitors


def test_a_visitor_finds_what_is_published_and_nothing_else(client: Any) -> None:
    shown = determined(
        described("2011.3", formers=("Nest 7",), note="the old willow"), "Colletes cunicularius", "dune bee"
    )
    published(shown)
    determined(described("2012.4", description="Secret dune nest"), "Colletes cunicularius", "dune bee")
    findable(builders.person("Jonna Beck"))
    page = found(client, "dune bee")
    assert 'href="/casts/2011.3/"' in page
    assert "2012.4" not in page
    for words in ("Nest 7", "willow", "Jonna Beck", "secret", "2012.4"):
        page = found(client, words)
        assert "/casts/" not in page.split("<main")[1].split("</main>")[0], words
        assert "Nothing that is shown here is called so." in page


def test_a_visitor_learns_no_word_that_is_not_published(client: Any) -> None:
    described("2012.4", description="Nest under the Fennevik lighthouse")
    published(determined(described("2011.3"), "Colletes cunicularius", "dune bee"))
    assert "lighthouse" not in found(client, "lighthuose")
    assert "colletes" in found(client, "colletis")


def test_enter_brings_a_visitor_to_a_published_cast(client: Any) -> None:
    published(described("2011.3"))
    described("2012.4")
    assert client.get("/find/", {"q": "2011.3", "go": "1"})["Location"] == "/casts/2011.3/"
    assert client.get("/find/", {"q": "2012.4", "go": "1"}).status_code == 200


# choosers


def offered(client: Any, kind: str, text: str) -> list[dict[str, str]]:
    answer = client.get("/find/suggest/", {"kind": kind, "q": text})
    assert answer.status_code == 200
    return answer.json()["items"]


def test_choosers_are_offered_what_is_known_of_their_kind(saar: Any) -> None:
    described("2016.1", description="Plaster cast of a wasp nest")
    bay = place("B", "Bay B", kind="bay")
    place("B-3", "Shelf three", parent=bay)
    place("B-4", "Shelf four", closed_on="2026-01-01")
    jonna = findable(builders.person("Jonna Beck", town="Fennevik"))
    bee = findable(builders.taxon("Colletes cunicularius", "dune bee"))
    findable(builders.excavation("D-2026-1"))
    assert offered(saar, "place", "b-3") == [{"value": "B-3", "name": "Shelf three", "hint": "B-3 · in Bay B"}]
    assert [i["value"] for i in offered(saar, "place", "shelf")] == ["B-3"]
    assert offered(saar, "cast", "wasp")[0]["value"] == "2016.1"
    assert offered(saar, "cast", "2016")[0]["name"] == "2016.1"
    assert offered(saar, "person", "jona")[0] == {"value": str(jonna.pk), "name": "Jonna Beck", "hint": "Fennevik"}
    assert offered(saar, "taxon", "colletis")[0]["value"] == str(bee.pk)
    assert offered(saar, "excavation", "d 2026")[0]["value"] == "D-2026-1"
    assert offered(saar, "account", "imke") == []


def test_choosers_are_for_the_staff(client: Any) -> None:
    builders.saar()
    answer = client.get("/find/suggest/", {"kind": "person", "q": "jonna"})
    assert answer.status_code == 302
    assert answer["Location"].startswith("/sign-in/")


def test_a_chooser_is_offered_eight_at_most(saar: Any) -> None:
    for n in range(12):
        place(f"S-{n}", f"Shelf {n}")
    assert len(offered(saar, "place", "shelf")) == 8
    assert len(offered(saar, "place", "s")) == 8


# cost


def queries(client: Any, address: str, **query: Any) -> int:
    with CaptureQueriesContext(connection) as captured:
        assert client.get(address, query).status_code == 200
    return len(captured)


def test_finding_makes_no_more_queries_when_there_is_more(saar: Any) -> None:
    def fill(numbers: range) -> None:
        for n in numbers:
            described(
                f"2016.{n}", description=f"Plaster cast {n} of a wasp nest", formers=(f"Nest {n}",), note="willow"
            )

    def cost() -> list[int]:
        asked = ["wasp nest", "2016.99", "Nest 2", "willow", "wesp"]
        return [queries(saar, "/find/", q=text) for text in asked] + [
            queries(saar, "/find/suggest/", kind="cast", q=text) for text in ("wasp", "2016")
        ]

    fill(range(1, 4))
    few = cost()
    fill(range(4, 31))
    assert cost() == few
    assert max(few) < 45


def test_a_name_with_quotes_and_a_long_note_are_found(saar: Any) -> None:
    findable(builders.person("Zoë O’Brien 🐞"))
    described("2016.1", note="clay " * 2000)
    assert "O’Brien" in found(saar, "zoe obrien") + found(saar, "zoe")
    assert "/casts/2016.1/" in found(saar, "clay")


def test_a_closed_cast_is_still_found_by_its_number(saar: Any) -> None:
    cast = described("2016.1")
    actions.close_cast(builders.imke(), cast, "given back")
    assert saar.get("/find/", {"q": "2016.1", "go": "1"}).status_code == 303
