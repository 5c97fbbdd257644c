"""The number on the object: put on, read back, gone; and what not to use on what it is made of."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client

from catalog.casts import actions as casts
from catalog.casts.models import MATERIALS, Cast
from catalog.casts.subject import Subject
from catalog.ground.asks import bearer_of, todays_work
from catalog.ground.collection import today
from catalog.ground.refusal import Hindered, NotAllowed, NotFound, Refusal, Stale
from registry.accessions.actions.marking import mark_cast, marking_gone
from registry.accessions.models import Marking
from registry.accessions.reads.told import unmarked
from registry.accessions.rules.marking import MarkingSaid, cautions_for
from tests import builders
from tests.registry.accessions import makers_accessions as makers

pytestmark = pytest.mark.django_db

TAG = MarkingSaid("tied tag", where="on the sprue", with_what="cotton tape", read_back=True)


def waiting(reader: Any) -> list[str]:
    return [d.sentence for d in todays_work(reader) if "bear" in d.sentence]


def made_of(cast: Cast, material: str) -> Cast:
    casts.describe_cast(builders.imke(), cast.pk, {"material": material})
    return makers.again(cast)


@pytest.mark.parametrize(
    "material, rule, why",
    [
        ("plaster", "No ink on bare plaster.", "Lay a barrier layer first"),
        ("wax", "No varnish, no solvent, nothing warm.", "Tie a tag on"),
        ("epoxy", "No lacquer with solvent, no acetone.", "clouds and cracks"),
        ("polyester resin", "No lacquer with solvent, no acetone.", "Tie a tag on"),
        ("zinc", "No engraving, no punch, no scratching.", "No acid ink"),
        ("aluminium", "No engraving, no punch, no scratching.", "No acid ink"),
        ("lead", "Gloves for lead, and wash your hands.", "poisonous"),
        ("unknown", "Tie a tag on, and use nothing wet.", "Nobody has said what it is made of"),
    ],
)
def test_the_page_says_what_not_to_use_on_it(material: str, rule: str, why: str) -> None:
    cast = made_of(makers.numbered().cast, material)
    page = builders.signed_in(Client(), "Saar Osei").get(f"{cast.href}markings/new/").content.decode()
    for words in (rule, why, "Not on a break face, a chamber wall", "Follow your local rules"):
        assert words in page


def test_every_material_has_its_caution_and_only_its_own() -> None:
    for material in MATERIALS:
        rules = [c.rule for c in cautions_for([material])]
        assert rules[0] == "Where it can be read and does no harm."
        assert len(rules) == (3 if material == "lead" else 2)
    assert len(cautions_for(["plaster", "wax", "wax", "zinc"])) == 4
    assert "No ink on bare plaster." not in [c.rule for c in cautions_for(["zinc"])]


def test_a_number_is_put_on_and_today_no_longer_asks_for_it() -> None:
    cast = makers.numbered().cast
    assert waiting(builders.saar()) == [f"{cast.number} has its number but does not bear it yet."]
    assert waiting(builders.lenno()) == []
    client = builders.signed_in(Client(), "Saar Osei")
    typed = {
        "method": "tied tag",
        "where": "on the sprue",
        "with_what": "cotton tape",
        "read_back": "yes",
        "key": "k" * 20,
    }
    answer = client.post(f"{cast.href}markings/new/", typed)
    assert (answer.status_code, answer["Location"]) == (302, cast.href)
    assert client.post(f"{cast.href}markings/new/", typed).status_code == 302  # pressed twice
    made = Marking.objects.get()
    assert (made.number, made.method, made.where, made.by.name) == (
        cast.number,
        "tied tag",
        "on the sprue",
        "Saar Osei",
    )
    assert made.read_back
    assert waiting(builders.saar()) == []
    page = client.get(cast.href).content.decode()
    assert "is on it: tied tag, on the sprue (cotton tape)" in page
    assert "Number 2" in page
    assert "put on: tied tag" in page


@pytest.mark.parametrize(
    "field, typed, sentence",
    [
        ("method", "", "Say how the number was put on it."),
        ("method", "branding iron", "Choose one of these."),
        ("read_back", "", "Choose one of these."),
        ("on", "2199-01-01", "has not come yet"),
        ("on", "31 February", "does not exist"),
        ("where", "x" * 201, "Shorten this"),
        ("by", "Nobody at all", "is not a person we know"),
    ],
)
def test_what_is_wrong_is_named_and_nothing_is_written(field: str, typed: str, sentence: str) -> None:
    cast = makers.numbered().cast
    client = builders.signed_in(Client(), "Ottilie Brandt")
    facts = {"method": "tied tag", "where": 'under the "base" 🐚', "read_back": "no"} | {field: typed}
    answer = client.post(f"{cast.href}markings/new/", facts)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert field == "where" or "&quot;base&quot; 🐚" in answer.content.decode()
    assert not Marking.objects.exists()


def test_a_number_that_is_gone_is_asked_for_again() -> None:
    cast = makers.numbered().cast
    made = mark_cast(builders.saar(), Subject(cast), TAG)
    client = builders.signed_in(Client(), "Saar Osei")
    address = f"{cast.href}markings/{made.pk}/gone/"
    assert client.get(address).status_code == 200
    answer = client.post(address, {"why": "washed off", "version": made.version})
    assert answer.status_code == 302
    assert waiting(builders.saar())
    assert f"{cast.number} was on it until" in client.get(cast.href).content.decode()
    with pytest.raises(Hindered, match="already"):
        marking_gone(builders.saar(), made.pk, "again")
    assert client.get(f"{cast.href}markings/99999/gone/").status_code == 404


def test_two_who_write_that_it_is_gone_do_not_overwrite_each_other() -> None:
    cast = makers.numbered().cast
    made = mark_cast(builders.saar(), Subject(cast), TAG)
    with pytest.raises(Refusal, match="before it was put on"):
        marking_gone(builders.saar(), made.pk, "torn off", on=today() - timedelta(days=9))
    with pytest.raises(Stale):
        marking_gone(builders.saar(), made.pk, "torn off", expected_version=made.version + 1)
    with pytest.raises(NotFound):
        marking_gone(builders.saar(), 999_999, "torn off")


def test_an_entry_number_on_it_is_not_its_number_in_the_register() -> None:
    cast = makers.brought_in()
    mark_cast(builders.saar(), Subject(cast), TAG)
    from registry.accessions import actions
    from registry.accessions.said import AccessionSaid

    actions.accession(builders.imke(), cast, AccessionSaid(title="unknown"))
    assert [c.pk for c in unmarked(builders.saar())] == [cast.pk]
    again = makers.again(cast)
    mark_cast(builders.saar(), Subject(again, builders.piece(again, "1")), TAG)
    assert not unmarked(builders.saar())
    assert Marking.objects.order_by("-pk").first().number == f"{again.number}.1"


def test_what_is_no_longer_here_is_not_marked() -> None:
    cast = makers.brought_in("offered")
    from registry.accessions import actions
    from registry.accessions.said import ExitSaid

    actions.give_back(builders.imke(), cast, ExitSaid("not taken in", to_words="Marit Olde"))
    with pytest.raises(Hindered, match="no longer in our care"):
        mark_cast(builders.saar(), Subject(cast), TAG)
    with pytest.raises(NotAllowed):
        mark_cast(builders.lenno(), Subject(makers.numbered().cast), TAG)


def test_several_are_marked_in_one_press() -> None:
    made = [makers.numbered().cast for _ in range(3)]
    client = builders.signed_in(Client(), "Saar Osei")
    address = f"/markings/new/?of={','.join(c.number for c in made)}"
    assert "The number on 3 objects" in client.get(address).content.decode()
    assert client.post(address, {"method": "label laid in", "read_back": "no"}).status_code == 302
    assert Marking.objects.count() == 3
    assert client.get("/markings/new/").status_code == 404
    assert client.get("/markings/new/?of=2099.1").status_code == 404
    assert builders.signed_in(Client(), "Lenno Haak").get(address).status_code == 403


def test_many_unmarked_casts_do_not_drown_today() -> None:
    for _ in range(11):
        makers.numbered()
    said = waiting(builders.saar())
    assert len(said) == 9
    assert said[-1] == "Three more casts do not bear their number."


def test_an_exit_and_a_paper_are_found_by_their_numbers() -> None:
    from registry.accessions import actions
    from registry.accessions.said import ExitSaid

    cast = makers.brought_in("offered")
    out = actions.give_back(builders.imke(), cast, ExitSaid("not taken in", to_words="Marit Olde"))
    assert [b.href for b in bearer_of(builders.lenno(), out.number.lower())] == [f"/exits/{out.number}/"]
    builders.signed_in(Client(), "Imke Roodenburg").get(f"/exits/{out.number}/papers/exit-note.pdf")
    year = today().year
    assert [b.href for b in bearer_of(builders.lenno(), f"p-{year}-1")] == [f"/papers/P-{year}-1.pdf"]
    assert bearer_of(builders.lenno(), "P-1999-1") == []
