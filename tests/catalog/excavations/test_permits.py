"""By whose leave: a dig outside its permit is written only with the reason why."""

from __future__ import annotations

from datetime import date

import pytest

from catalog.excavations import actions, reads, rules
from catalog.excavations.models import Excavation
from catalog.excavations.rules import Dig, Leave
from catalog.ground.refusal import NotAllowed, Refusal
from tests import builders
from tests.catalog.excavations.makers_digs import dig, permit, site

LEAVE = Leave("permit NS-25-2", date(2025, 5, 1), date(2025, 9, 30), 3, "North Creek")


def notes(**more: object) -> list[tuple[str, bool]]:
    facts = {"day": "2025-06-03", "earliest": date(2025, 6, 3), "latest": date(2025, 6, 3), "site": "North Creek"}
    return [(n.sentence, n.firm) for n in rules.permit_notes(LEAVE, Dig(**(facts | more)))]  # type: ignore[arg-type]


def test_a_dig_inside_its_permit_has_no_notes() -> None:
    assert notes(nth=3) == []


def test_the_fourth_nest_under_a_permit_for_three() -> None:
    assert notes(nth=4) == [("This would be the fourth nest under a permit for three.", True)]
    assert notes(nth=4, written=True) == [("This is the fourth nest under a permit for three.", True)]


def test_a_dig_after_the_permit_ended() -> None:
    late = {"day": "2025-10-04", "earliest": date(2025, 10, 4), "latest": date(2025, 10, 4)}
    assert notes(**late) == [
        (
            "Permit NS-25-2 runs from 1\u00a0May 2025 until 30\u00a0September 2025; the dig lies outside it: 4 October 2025.",
            True,
        )
    ]


def test_an_uncertain_day_that_may_lie_outside_is_no_firm_note() -> None:
    year = {"day": "2025", "earliest": date(2025, 1, 1), "latest": date(2025, 12, 31)}
    ((sentence, firm),) = notes(**year)
    assert not firm
    assert sentence.endswith("whether the dig lies in it cannot be told from “2025”.")


def test_a_dig_elsewhere() -> None:
    assert notes(site="High Dune") == [("Permit NS-25-2 is for North Creek; the dig is at High Dune.", True)]


@pytest.mark.parametrize("n, word", [(1, "first"), (4, "fourth"), (11, "11th"), (22, "22nd"), (113, "113th")])
def test_ordinals(n: int, word: str) -> None:
    assert rules.ordinal(n) == word


@pytest.mark.django_db
def test_the_fourth_is_refused_until_somebody_writes_why() -> None:
    leave = permit()
    for _ in range(3):
        dig(permit=leave)
    with pytest.raises(Refusal, match=r"This would be the fourth nest under a permit for three\."):
        dig(permit=leave)
    assert Excavation.objects.count() == 3
    fourth = dig(permit=leave, permit_exception="The office agreed by telephone, minute 7.")
    shown = reads.excavation_at(builders.lenno(), fourth.number)
    assert [n.sentence for n in reads.notes_on(shown)] == ["This is the fourth nest under a permit for three."]


@pytest.mark.django_db
def test_an_exception_does_not_push_a_lawful_dig_out() -> None:
    leave = permit(most_nests=1)
    first = dig(permit_exception="dug before the permit came", dug_on="2025-04-01", permit=leave)
    second = dig(permit=leave, permit_exception="agreed by letter")
    actions.change_excavation(builders.saar(), first.pk, {"permit_exception": "dug before the permit came, see letter"})
    third = dig()
    with pytest.raises(Refusal, match="third nest under a permit for one"):
        actions.change_excavation(builders.saar(), third.pk, {"permit": leave})
    assert [reads.nth_of(d) for d in (first, second)] == [1, 2]


@pytest.mark.django_db
def test_other_words_of_a_dig_outside_its_permit_can_still_be_written() -> None:
    leave = permit()
    found = dig(permit=leave)
    actions.change_permit(builders.imke(), leave.pk, {"until_on": date(2025, 5, 20)})
    changed = actions.change_excavation(builders.saar(), found.pk, {"soil": "sand over clay", "permit": leave})
    assert changed.soil == "sand over clay"


@pytest.mark.django_db
def test_the_consent_counts_too() -> None:
    letter = permit("letter of 3 March 2025", kind="landowner's consent", site=site("High Dune"), most_nests=None)
    with pytest.raises(Refusal, match="Landowner's consent letter of 3 March 2025 is for High Dune"):
        dig(consent=letter)


@pytest.mark.django_db
def test_a_permit_does_not_end_before_it_begins() -> None:
    with pytest.raises(Refusal, match="end before it begins"):
        permit(until_on=date(2025, 1, 1))


@pytest.mark.django_db
def test_a_technician_writes_no_permit() -> None:
    with pytest.raises(NotAllowed, match="Only a registrar or the keeper may do this"):
        actions.add_permit(builders.saar(), {"kind": "collecting permit", "number": "NS-1"})
