"""What the room answers when the house asks: numbers, what waits, what happened."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.utils import timezone

from catalog.excavations import actions, answers
from catalog.ground.asks import bearer_of, history_of
from catalog.ground.roles import VISITOR
from catalog.taxa.actions import correct_name
from tests import builders
from tests.catalog.excavations import makers_digs as makers

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("text", ["d-2025-1", " D-2025-1 ", "https://tarn.example/q/D-2025-1/"])
def test_a_number_leads_to_its_dig(text: str) -> None:
    dig = makers.dig()
    (found,) = bearer_of(builders.lenno(), text)
    assert (found.kind, found.number, found.title, found.href) == ("excavation", dig.number, "North Creek", dig.href)
    assert bearer_of(VISITOR, text) == []


def test_codes_of_bags_and_lots_lead_to_them() -> None:
    makers.bags(1)
    makers.lot()
    assert [(b.kind, b.href) for b in bearer_of(builders.saar(), "bag-1")] == [("bag", "/bags/BAG-1/")]
    assert [(b.kind, b.href) for b in bearer_of(builders.saar(), "z-4")] == [("lot", "/material-lots/Z-4/")]


def test_a_bag_waits_on_today_after_a_fortnight_and_no_longer_when_it_is_closed() -> None:
    makers.bags(3)
    dig, long_ago = makers.dig(), timezone.now() - timedelta(days=15)
    actions.record_lift(builders.saar(), dig.pk, {}, bags=["BAG-1", "BAG-2"], at=long_ago)
    actions.record_lift(builders.saar(), dig.pk, {}, bags=["BAG-3"], at=timezone.now() - timedelta(days=13))
    (duty,) = answers.bags_wait(builders.saar())
    assert duty.sentence.startswith("BAG-1 and BAG-2 of D-2025-1 are neither inventoried nor written off since ")
    assert duty.href == "/bags/?state=open&excavation=D-2025-1"
    actions.close_bag(builders.saar(), "BAG-1", "inventoried")
    assert answers.bags_wait(builders.saar())[0].sentence.startswith("BAG-2 of D-2025-1 is neither")
    actions.close_bag(builders.saar(), "BAG-2", "written off", "torn")
    assert answers.bags_wait(builders.saar()) == []
    assert answers.bags_wait(builders.lenno()) == []


def test_a_dig_without_day_people_or_place_stays_on_today() -> None:
    bare = actions.record_excavation(builders.saar(), {})
    (duty,) = answers.digs_lack(builders.saar())
    assert duty.sentence == f"{bare.number} has no day, no people and no place yet."
    actions.change_excavation(
        builders.saar(), bare.pk, {"dug_on": "2025-06"}, people=[(makers.person_of("Saar Osei"), "")]
    )
    assert answers.digs_lack(builders.saar())[0].sentence == f"{bare.number} has no place yet."
    makers.placed(of=bare)
    assert answers.digs_lack(builders.saar()) == []
    assert answers.digs_lack(builders.lenno()) == []


def test_a_dig_that_a_changed_permit_leaves_outside_is_told_to_the_heads() -> None:
    leave = makers.permit()
    dig = makers.dig(permit=leave)
    assert answers.digs_outside_their_permit(builders.imke()) == []
    actions.change_permit(builders.imke(), leave.pk, {"until_on": date(2025, 5, 31)})
    (duty,) = answers.digs_outside_their_permit(builders.imke())
    assert duty.sentence.startswith(f"{dig.number}: Permit NS-25-2 runs from")
    assert answers.digs_outside_their_permit(builders.saar()) == []
    actions.change_excavation(builders.saar(), dig.pk, {"permit_exception": "begun in May"})
    assert answers.digs_outside_their_permit(builders.imke()) == []


def test_the_history_of_a_dig_tells_each_change_with_old_and_new() -> None:
    makers.bags(1)
    dig = makers.dig()
    actions.change_excavation(builders.tobias(), dig.pk, {"soil": "sand"})
    actions.change_excavation(builders.saar(), dig.pk, {"soil": "sand over clay"})
    actions.record_pour(builders.saar(), dig.pk, {"material": "plaster", "mass_g": 6200})
    makers.lift(dig, ("BAG-1",))
    dig.refresh_from_db()
    told = {e.sentence: e for e in history_of(builders.lenno(), dig)}
    assert "Pour 1 written: 6.2\u202fkg of plaster." in told
    assert told["Lift 1 written."].who == "Saar Osei"
    changed = [e for e in history_of(builders.lenno(), dig) if e.sentence == "Excavation changed: soil."]
    assert [(e.who, e.changes) for e in changed] == [
        ("Saar Osei", (("soil", "sand", "sand over clay"),)),
        ("Tobias Wren", (("soil", "", "sand"),)),
    ]


def test_a_corrected_name_finds_its_digs() -> None:
    from catalog.ground.search import find

    shrimp = builders.taxon("Upogebia delturra", "mud shrimp")
    dig = makers.dig(taxon=shrimp)
    correct_name(builders.ottilie(), shrimp.pk, {"name": "Upogebia deltaura"})
    assert dig.number in [e.number for e in find("deltaura", kinds=["excavation"])]
    told = [e.changes for e in history_of(builders.lenno(), shrimp)]
    assert (("scientific name", "Upogebia delturra", "Upogebia deltaura"),) in told


def test_a_dig_tells_what_became_of_it(client: Any) -> None:
    dig = makers.dig()
    page = builders.signed_in(client, "Lenno Haak")
    assert "No cast came of it yet." in page.get(dig.href).content.decode()
    cast = builders.cast("2025.6", excavation=dig)
    assert f'href="{cast.href}">2025.6</a>' in page.get(dig.href).content.decode()


def test_a_corrected_name_finds_its_casts() -> None:
    from catalog.ground.search import find

    shrimp = builders.taxon("Upogebia delturra", "mud shrimp")
    cast = builders.cast(taxon=shrimp)
    correct_name(builders.ottilie(), shrimp.pk, {"name": "Upogebia deltaura"})
    assert cast.number in [e.number for e in find("deltaura", kinds=["cast"])]
