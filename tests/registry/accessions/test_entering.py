"""What comes through the door has its number at once."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from catalog.casts.models import Cast, FormerNumber
from catalog.ground.collection import today
from catalog.ground.numbers import last_number
from catalog.ground.refusal import NotAllowed, Refusal
from registry.accessions import actions
from registry.accessions.models import Entry, EntryObject, StatedValue
from registry.accessions.said import EntrySaid, ObjectSaid
from registry.accessions.states import STATES, STEPS
from registry.places.models import Custody, Placement
from tests import builders
from tests.registry.accessions.makers_accessions import entry, place

pytestmark = pytest.mark.django_db


def test_an_entry_has_its_number_and_its_object_at_once() -> None:
    made = entry("Plaster cast in two boxes", "found in the collection", parts=2, parts_are="boxes")
    year = today().year
    assert made.number == f"E-{year}-1"
    thing = made.objects_of.get()
    assert (thing.cast.number, thing.cast.description, thing.cast.n_parts) == (
        made.number,
        "Plaster cast in two boxes",
        2,
    )
    assert (thing.state, made.came_on, made.taken_in_by.name) == ("entered", today(), "Saar Osei")
    assert entry().number == f"E-{year}-2"


def test_what_and_how_are_enough() -> None:
    made = actions.enter(builders.saar(), EntrySaid("A box", "offered"))
    assert (made.n_parts, made.from_words, made.objects_of.get().cast.n_parts) == (None, "", None)


def test_several_objects_share_the_entry_and_are_lettered() -> None:
    made = entry("Three casts of one dig", n_objects=3, excavation=builders.excavation("D-2026-5"))
    numbers = [thing.cast.number for thing in made.objects_of.order_by("index")]
    assert numbers == [made.number, f"{made.number}b", f"{made.number}c"]
    assert {thing.cast.excavation.number for thing in made.objects_of.all()} == {"D-2026-5"}
    assert {thing.cast.n_parts for thing in made.objects_of.all()} == {None}, (
        "three parts of three objects: not known of each"
    )
    more = actions.add_object(builders.saar(), made.pk, ObjectSaid("A fourth, found in the packing", 1))
    assert (more.cast.number, more.cast.n_parts) == (f"{made.number}d", 1)


def test_tags_are_kept_letter_for_letter_and_found_again() -> None:
    from catalog.ground.search import find

    made = entry(former_numbers=("Nest 7a", "  ", "coll. Braun # 12/α"))
    kept = FormerNumber.objects.filter(cast=made.objects_of.get().cast).order_by("pk")
    assert [f.text for f in kept] == ["Nest 7a", "coll. Braun # 12/α"]
    assert made.number in {found.number for found in find("nest 7A")}


def test_it_is_in_our_hands_and_where_it_was_put() -> None:
    bench = place("W-2", "Workshop, bench 2", "bench")
    made = entry(place="w-2", from_words="Marit Olde")
    cast = made.objects_of.get().cast
    assert Placement.objects.get(cast=cast).place == bench
    custody = Custody.objects.get(cast=cast)
    assert (custody.ours, custody.from_words, custody.by.name) == (True, "Marit Olde", "Saar Osei")


def test_what_came_on_friday_can_be_written_on_monday() -> None:
    friday = today() - timedelta(days=3)
    made = entry(came_on=friday)
    assert made.came_on == friday
    assert Custody.objects.get(cast__entry_object__entry=made).at.date() == friday
    assert made.created_at.date() >= friday


@pytest.mark.parametrize(
    ("said", "field", "sentence"),
    [
        (EntrySaid("", "offered"), "what", "Write in a line what came."),
        (EntrySaid("A box", "by balloon"), "how", "Say how it came"),
        (EntrySaid("A box", "offered", came_on=date(2999, 1, 1)), "came_on", "has not come yet"),
        (EntrySaid("A box", "offered", back_by=date(2001, 1, 1)), "back_by", "before it came"),
        (EntrySaid("A box", "offered", parts=0), "parts", "At least one part came"),
        (EntrySaid("A box", "offered", parts=-3), "parts", "At least one part came"),
        (EntrySaid("A box", "offered", n_objects=101), "objects", "1 to 100 objects"),
        (EntrySaid("x" * 501, "offered"), "what", "Shorten it to 500"),
        (EntrySaid("A box", "offered", place="B-9"), "place", "not a place of ours"),
        (EntrySaid("A box", "offered", number="17"), "number", "does not look like an entry number"),
        (EntrySaid("A box", "offered", former_numbers=("x" * 301,)), "former_numbers", "photograph it"),
    ],
)
def test_a_refused_entry_writes_nothing_and_names_the_field(said: EntrySaid, field: str, sentence: str) -> None:
    with pytest.raises(Refusal, match=sentence) as refused:
        actions.enter(builders.saar(), said)
    assert refused.value.reasons[0].field == field
    assert not Entry.objects.exists()
    assert not Cast.objects.exists()
    assert last_number(f"entry {today().year}") == 0


def test_a_note_of_ten_thousand_letters_and_an_odd_name_are_kept_as_they_are() -> None:
    made = entry("Cast “Zoë’s” 🐞 <script>", note="n" * 10_000, from_words="Ångström & O'Brien")
    made.refresh_from_db()
    assert (made.what, len(made.note), made.from_words) == ("Cast “Zoë’s” 🐞 <script>", 10_000, "Ångström & O'Brien")


def test_a_reader_brings_nothing_in() -> None:
    with pytest.raises(NotAllowed):
        actions.enter(builders.lenno(), EntrySaid("A box", "offered"))


def test_a_loan_and_a_job_begin_as_what_they_are() -> None:
    assert entry(how="for loan").objects_of.get().state == "loan in"
    assert entry(how="for examination or treatment").objects_of.get().state == "job"


def test_an_older_entry_book_gave_its_own_numbers() -> None:
    made = entry("Zinc cast of the House of the Red Hamada", "for loan", number="E-2018-5")
    assert made.number == "E-2018-5"
    with pytest.raises(Refusal, match="E-2018-5 is an entry already"):
        entry(number="e-2018-5")
    this = today().year
    entry(number=f"E-{this}-40")
    assert entry().number == f"E-{this}-41", "the counter never falls below a number that was used"


def test_a_stated_value_lies_apart() -> None:
    from decimal import Decimal

    made = entry(value=Decimal("250"), currency="EUR")
    assert StatedValue.objects.get(entry=made).amount == 250
    assert not hasattr(made, "amount")


def test_an_entry_is_put_right_and_keeps_its_history() -> None:
    made = entry("A box", "offered", from_words="")
    changed = actions.change_entry(builders.saar(), made.pk, {"from_words": "Marit Olde"}, expected_version=1)
    assert (changed.version, changed.history.count()) == (2, 2)
    with pytest.raises(Refusal, match="has no 'number' to change"):
        actions.change_entry(builders.saar(), made.pk, {"number": "E-1-1"})


def test_how_it_came_is_settled_once_a_case_rests_on_it() -> None:
    from registry.accessions.said import CaseSaid

    made = entry("A box", "offered")
    actions.change_entry(builders.saar(), made.pk, {"how": "for loan"})
    assert made.objects_of.get().state == "loan in"
    actions.change_entry(builders.saar(), made.pk, {"how": "offered"})
    actions.propose(builders.saar(), made.objects_of.get().cast, CaseSaid("gift"))
    with pytest.raises(Refusal, match="How it came is settled"):
        actions.change_entry(builders.saar(), made.pk, {"how": "own excavation"})


def test_the_steps_lead_only_to_states_that_there_are() -> None:
    kept = {value for value, _ in EntryObject._meta.get_field("state").choices}
    assert {s.before for s in STEPS} | {s.after for s in STEPS} == kept == set(STATES)
