"""Material lots: pours draw on them, recoveries fill them, and nothing takes out more than there is."""

from __future__ import annotations

import threading
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction

from catalog.excavations import actions
from catalog.excavations.material_balance import balance_g, change_g, hinders_moving, hinders_pour
from catalog.excavations.models import LotEntry, MaterialLot, Pour
from catalog.ground.refusal import Hindered, Refusal
from tests import builders
from tests.catalog.excavations import makers_digs as makers


def test_what_goes_out_is_below_zero_and_the_balance_is_the_sum() -> None:
    lines = [
        change_g(k, Decimal(m)) for k, m in (("taken in", 18500), ("drawn", 6200), ("put back", 350), ("lost", 50))
    ]
    assert lines == [18500, -6200, 350, -50]
    assert balance_g(lines) == 12600


@pytest.mark.parametrize(
    "kind, mass, words, sentence",
    [
        ("drawn", "600", "", "There are 400\u202fg in Z-4, and 600\u202fg are more than that"),
        ("taken in", "0", "", "Write a mass above zero"),
        ("lost", "20", "", "Write how it came to that"),
        ("corrected", "0", "recount", "A correction of nothing"),
        ("corrected", "-500", "recount", "are more than that"),
    ],
)
def test_a_line_that_cannot_be(kind: str, mass: str, words: str, sentence: str) -> None:
    (reason,) = hinders_moving("Z-4", kind, Decimal(mass), there_g=Decimal(400), words=words)
    assert sentence in reason.sentence


def test_more_never_comes_back_than_went_in() -> None:
    assert hinders_pour(Decimal(100), Decimal(100)) == []
    assert "cannot come back" in hinders_pour(Decimal(100), Decimal(101))[0].sentence


@pytest.mark.django_db
def test_a_pour_draws_on_its_lot_and_what_was_recovered_goes_back_in_the_same_act() -> None:
    zinc, dig = makers.lot(), makers.dig()
    said = {"lot": zinc, "mass_g": Decimal(6200), "recovered_g": Decimal("350.5"), "poured_on": "2025-06-03"}
    pour = actions.record_pour(builders.saar(), dig.pk, said)
    zinc.refresh_from_db()
    assert (pour.n, pour.material, zinc.balance_g) == (1, "zinc", Decimal("12650.5"))
    lines = list(zinc.entries.order_by("pk"))
    assert [(e.kind, e.mass_g, e.balance_after_g) for e in lines] == [
        ("taken in", 18500, 18500),
        ("drawn", -6200, 12300),
        ("put back", Decimal("350.5"), Decimal("12650.5")),
    ]
    assert {e.pour for e in lines[1:]} == {pour}
    assert {e.on.isoformat() for e in lines[1:]} == {"2025-06-03"}
    assert balance_g(e.mass_g for e in lines) == zinc.balance_g


@pytest.mark.django_db
def test_a_pour_that_asks_for_too_much_writes_nothing() -> None:
    zinc, dig = makers.lot(taken_in_g=500), makers.dig()
    with pytest.raises(Hindered, match="There are 500\u202fg in Z-4"):
        actions.record_pour(builders.saar(), dig.pk, {"lot": zinc, "mass_g": Decimal(501)})
    assert not Pour.objects.exists()
    assert zinc.entries.count() == 1


@pytest.mark.django_db
def test_a_pour_is_of_what_its_lot_is_of() -> None:
    with pytest.raises(Refusal, match="Z-4 is zinc, not plaster"):
        actions.record_pour(builders.saar(), makers.dig().pk, {"lot": makers.lot(), "material": "plaster"})
    with pytest.raises(Refusal, match="Say what was poured"):
        actions.record_pour(builders.saar(), makers.dig().pk, {})


@pytest.mark.django_db(transaction=True)
def test_two_who_draw_at_once_never_draw_more_than_there_is() -> None:
    zinc, digs, saar = makers.lot(taken_in_g=1000), [makers.dig(), makers.dig()], builders.saar()
    gate, said = threading.Barrier(2), []

    def draw(pk: int) -> None:
        gate.wait()
        try:
            said.append(actions.record_pour(saar, pk, {"lot": zinc, "mass_g": Decimal(700)}).mass_g)
        except Hindered as refusal:
            said.append(str(refusal))
        finally:
            connection.close()

    threads = [threading.Thread(target=draw, args=(d.pk,)) for d in digs]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert [s for s in said if not isinstance(s, str)] == [700]
    assert next(s for s in said if isinstance(s, str)).startswith("There are 300\u202fg in Z-4")
    zinc.refresh_from_db()
    assert zinc.balance_g == 300


@pytest.mark.django_db
def test_the_database_itself_refuses_a_balance_below_zero_and_a_changed_line() -> None:
    zinc = makers.lot()
    with pytest.raises(IntegrityError), transaction.atomic():
        MaterialLot.objects.filter(pk=zinc.pk).update(balance_g=-1)
    with pytest.raises(IntegrityError), transaction.atomic():
        LotEntry.objects.filter(lot=zinc).update(mass_g=1)
    with pytest.raises(IntegrityError), transaction.atomic():
        LotEntry.objects.filter(lot=zinc).delete()


@pytest.mark.django_db
@pytest.mark.parametrize(
    "code, sentence",
    [
        ("", "1 to 20 letters"),
        ("zinc", "has a figure in it"),
        ("D-2025-1", "excavation D-2025-1 already"),
        ("Z 4", "1 to 20"),
    ],
)
def test_a_code_is_a_label_of_its_own(code: str, sentence: str) -> None:
    makers.dig()
    with pytest.raises(Refusal, match=sentence):
        actions.open_lot(builders.saar(), code, {"material": "zinc"})


@pytest.mark.django_db
@pytest.mark.parametrize(
    "typed, grams", [("1,5 kg", "1500"), ("1.5kg", "1500"), ("1 500 g", "1500"), ("18.1234567", "18.123")]
)
def test_a_mass_is_read_as_the_book_writes_it(client: Any, typed: str, grams: str) -> None:
    lot = makers.lot(taken_in_g=None)
    builders.signed_in(client, "Saar Osei")
    answer = client.post(f"{lot.href}taken-in/", {"mass_g": typed, "key": "k" * 20})
    assert answer.status_code == 302
    lot.refresh_from_db()
    assert lot.balance_g == Decimal(grams)


@pytest.mark.django_db
@pytest.mark.parametrize(
    "deed, said, sentence",
    [
        ("taken-in", {"mass_g": "-3"}, "cannot be below zero"),
        ("taken-in", {"mass_g": "3 miles"}, "miles"),
        ("taken-in", {"mass_g": "999999 t"}, "compare the unit"),
        ("lost", {"mass_g": "20"}, "Write how it came to that"),
        ("put-back", {"mass_g": "20", "on": "2199-01-01"}, "has not come yet"),
        ("corrected", {"mass_g": "-99 kg", "words": "recount"}, "are more than that"),
        ("taken-in", {"mass_g": "5", "by": "Nobody at all"}, "nobody we know"),
    ],
)
def test_a_wrong_line_is_named_and_writes_nothing(client: Any, deed: str, said: dict[str, str], sentence: str) -> None:
    lot = makers.lot()
    builders.signed_in(client, "Saar Osei")
    answer = client.post(f"{lot.href}{deed}/", said)
    assert (answer.status_code, sentence in answer.content.decode()) == (422, True)
    assert lot.entries.count() == 1


@pytest.mark.django_db
def test_a_correction_may_be_below_zero(client: Any) -> None:
    lot = makers.lot()
    builders.signed_in(client, "Saar Osei")
    said = {"mass_g": "-500", "words": "counted again", "key": "k" * 20}
    assert client.post(f"{lot.href}corrected/", said).status_code == 302
    assert list(lot.entries.order_by("pk").values_list("kind", "mass_g"))[-1] == ("corrected", -500)
    page = client.get(lot.href).content.decode()
    assert "18\u202fkg" in page
    assert "counted again" in page
