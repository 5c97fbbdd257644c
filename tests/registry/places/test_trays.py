"""Trays: a row is a piece, kept as it is left; the same row twice is one piece; what is doubtful is kept and shown."""

from __future__ import annotations

import json
from decimal import Decimal as D
from typing import Any
from uuid import uuid4

import pytest

from catalog.casts.models import BreakFace, Cast, CrumbLot, Piece
from catalog.ground.acting import store
from catalog.ground.refusal import Hindered, Refusal, Stale
from catalog.measurements.actions import keep_reading
from catalog.measurements.models import Measurement
from registry.places import actions
from registry.places.models import Movement, Place, Placement, TrayList, TrayRow
from registry.places.reads import trays as reads
from registry.places.tray_rows import RowSaid, doubt, read_row, rows_pasted
from tests import builders
from tests.catalog.measurements.makers_measurements import bal_2
from tests.harness.at_once import at_once
from tests.registry.places.makers_places import asked, key

pytestmark = pytest.mark.django_db
KINDS = Piece.KINDS


def tray_place(code: str = "T-9") -> Place:
    there = Place.objects.filter(code=code).first()
    return there or actions.add_place(builders.imke(), code, f"Tray {code}", "tray", movable=True)


def tray(number: str = "2025.6", code: str = "T-9", **more: Any) -> TrayList:
    cast = Cast.objects.filter(number=number).first() or builders.cast(number, n_parts=None)
    return actions.begin_tray(builders.saar(), tray_place(code), cast, **more)


def row(it: TrayList, said: RowSaid | None = None, uid: Any = None, **more: Any) -> TrayRow:
    said = said or RowSaid(**more)
    return actions.save_row(builders.saar(), it.pk, uid or uuid4(), said)


# reading what was typed


@pytest.mark.parametrize(
    "typed, said",
    [
        ({"mass_g": "86.4"}, {"mass_g": D("86.4")}),
        ({"mass_g": "1.2 kg"}, {"mass_g": D(1200)}),
        ({"mass_g": "86,4 ± 0,2"}, {"mass_g": D("86.4"), "mass_u_g": D("0.1")}),
        ({"depth": "80–88"}, {"from_cm": D(80), "to_cm": D(88)}),
        ({"depth": "80 to 88 cm"}, {"from_cm": D(80), "to_cm": D(88)}),
        ({"depth": "80.5"}, {"from_cm": D("80.5"), "to_cm": D("80.5")}),
        ({"kind": "cham"}, {"kind": "chamber"}),
        ({"kind": "Tunnel"}, {"kind": "tunnel"}),
        ({"up": "x", "side": "NE", "lift_unknown": "yes"}, {"up_mark": True, "side": "NE", "lift_unknown": True}),
        ({"number": "2025.6.12"}, {"number": "12"}),
        ({"largest_mm": "6 cm", "faces": "2"}, {"largest_mm": D(60), "faces": 2}),
    ],
)
def test_a_row_is_read_as_it_is_typed(typed: dict[str, str], said: dict[str, Any]) -> None:
    read, wrong = read_row(typed, KINDS, cast="2025.6")
    assert wrong == []
    assert read == RowSaid(**said)


@pytest.mark.parametrize(
    "typed, cell",
    [
        ({"mass_g": "-0.3"}, "mass_g"),
        ({"mass_g": "0"}, "mass_g"),
        ({"mass_g": "12 cm"}, "mass_g"),
        ({"mass_g": "heavy"}, "mass_g"),
        ({"depth": "88-80"}, "depth"),
        ({"depth": "80-88-90"}, "depth"),
        ({"kind": "t"}, "kind"),
        ({"kind": "s"}, "kind"),
        ({"faces": "two"}, "faces"),
        ({"faces": "999"}, "faces"),
        ({"up": "perhaps"}, "up"),
        ({"number": "12b"}, "number"),
        ({"side": "from the north and a little east"}, "side"),
    ],
)
def test_a_cell_that_cannot_be_read_is_named(typed: dict[str, str], cell: str) -> None:
    wrong = read_row(typed, [*KINDS, ("trunk", "trunk")])[1]
    assert [reason.field for reason in wrong] == [cell]


def test_rows_from_a_spreadsheet_with_and_without_heads() -> None:
    assert rows_pasted("86.4\n97.5\n") == [{"mass_g": "86.4"}, {"mass_g": "97.5"}]
    with_heads = rows_pasted("Depth\tMass (g)\tcolour\tPart\r\n80-88\t86.4\tgrey\tshaft\r\n")
    assert with_heads == [{"depth": "80-88", "mass_g": "86.4", "kind": "shaft"}]
    assert rows_pasted("12;86.4;shaft")[0] == {"number": "12", "mass_g": "86.4", "kind": "shaft"}
    assert rows_pasted("  \n\n") == []
    with pytest.raises(ValueError, match="At most 400"):
        rows_pasted("1\n" * 401)


def test_a_piece_far_heavier_than_its_peers_is_doubted() -> None:
    peers = [D(n) for n in (20, 38, 64, 86, 97, 112, 140)]
    assert "The others here weigh 20" in doubt("119", D(1042), peers, None)
    assert doubt("119", D(160), peers, None) == ""
    assert doubt("3", D(1042), peers[:4], None) == ""
    assert "more than the" in doubt("3", D(1042), [], D(1000))


# keeping


def test_a_row_is_a_piece_in_the_tray_weighed_once_with_its_faces() -> None:
    it = tray()
    kept = row(it, mass_g=D("86.4"), kind="shaft", from_cm=D(80), to_cm=D(88), faces=2, up_mark=True, side="NE")
    piece = Piece.objects.get()
    assert (piece.number, piece.mass_g, piece.mass_state, piece.kind) == ("2025.6.1", D("86.4"), "wet", "shaft")
    assert (piece.up_mark, piece.compass, kept.piece_id) == (True, "NE", piece.pk)
    assert BreakFace.objects.filter(piece=piece).count() == 2
    assert Placement.objects.get(piece=piece).place == it.tray
    assert Movement.objects.get(piece=piece).to_place == it.tray
    assert Measurement.objects.get().by == builders.person("Saar Osei")


def test_a_row_posted_twice_is_one_piece_and_one_weighing() -> None:
    it, uid = tray(), uuid4()
    for _ in range(2):
        row(it, uid=uid, mass_g=D("86.4"), faces=2)
    assert (Piece.objects.count(), Measurement.objects.count(), BreakFace.objects.count()) == (1, 1, 2)


def test_a_row_that_is_typed_over_replaces_its_slip_and_keeps_its_number() -> None:
    it, uid = tray(), uuid4()
    row(it, uid=uid, mass_g=D("864"))
    row(it, uid=uid, mass_g=D("86.4"), kind="chamber", number="1")
    assert Piece.objects.get().mass_g == D("86.4")
    first, second = Measurement.objects.order_by("pk")
    assert second.replaces == first
    with pytest.raises(Refusal, match="its number stays"):
        row(it, uid=uid, mass_g=D("86.4"), number="7")
    with pytest.raises(Refusal, match="What was weighed stays"):
        row(it, uid=uid, kind="chamber")


def test_weighed_again_in_another_state_both_stand() -> None:
    it, uid = tray(), uuid4()
    row(it, uid=uid, mass_g=D("120.4"))
    it = actions.change_tray(builders.saar(), it.pk, state="air dry")
    row(it, uid=uid, mass_g=D("98.1"))
    assert [m.replaces for m in Measurement.objects.all()] == [None, None]
    piece = Piece.objects.get()
    assert (piece.mass_g, piece.mass_state) == (D("98.1"), "air dry")


def test_who_saves_second_is_told() -> None:
    it, uid = tray(), uuid4()
    seen = row(it, uid=uid, mass_g=D(80)).piece.version
    row(it, uid=uid, mass_g=D(81))
    with pytest.raises(Stale, match=r"Somebody changed 2025\.6\.1 before you"):
        actions.save_row(builders.saar(), it.pk, uid, RowSaid(mass_g=D(82)), expected_version=seen)


def test_a_number_that_is_taken_is_named_and_a_pencilled_one_is_kept() -> None:
    it = tray()
    row(it, number="7")
    row(it, mass_g=D(5))
    assert sorted(Piece.objects.values_list("suffix", flat=True)) == ["7", "8"]
    with pytest.raises(Hindered, match=r"2025\.6\.7 is listed already"):
        row(it, number="7")


def test_a_closed_tray_takes_nothing_and_one_tray_is_open_once() -> None:
    it = tray()
    with pytest.raises(Refusal, match="already"):
        tray()
    actions.change_tray(builders.saar(), it.pk, closed=True)
    with pytest.raises(Hindered, match="closed"):
        row(it, mass_g=D(5))
    tray()


def test_pieces_are_listed_under_an_entry_number() -> None:
    it = tray("E-2026-14")
    assert row(it, mass_g=D(5)).piece.number == "E-2026-14.1"


def test_crumbs_of_a_tray_are_one_lot() -> None:
    it, saar = tray(), builders.saar()
    actions.keep_tray_crumbs(saar, it.pk, D("60.0"), n=30)
    actions.keep_tray_crumbs(saar, it.pk, D("61.5"), n=34)
    lot = CrumbLot.objects.get()
    assert (lot.mass_g, lot.n, lot.mass_state) == (D("61.5"), 34, "wet")
    assert Measurement.objects.filter(crumbs=lot).count() == 2
    for nothing in (D(-1), None):
        with pytest.raises(Refusal):
            actions.keep_tray_crumbs(saar, it.pk, nothing)


def test_pieces_that_are_listed_already_are_taken_into_a_tray() -> None:
    it = tray()
    there = builders.piece(it.cast, "1", mass_g=D(5))
    assert actions.take_into_tray(builders.saar(), it.pk, [there])[0].piece == there
    with pytest.raises(Refusal, match="not one to be put into this tray"):
        actions.take_into_tray(builders.saar(), it.pk, [there])


@pytest.mark.django_db(transaction=True)
def test_two_people_at_one_tray_leave_no_gap_and_no_double() -> None:
    it, saar, imke = tray(), builders.saar(), builders.imke()
    same = uuid4()
    said = RowSaid(mass_g=D("86.4"))
    deeds = [lambda who=who: actions.save_row(who, it.pk, uuid4(), said) for who in (saar, imke) for _ in range(5)]
    deeds += [lambda: actions.save_row(saar, it.pk, same, said) for _ in range(3)]
    results = at_once(deeds)
    assert {type(r) for r in results} == {TrayRow}, results
    numbers = sorted(int(s) for s in Piece.objects.values_list("suffix", flat=True))
    assert numbers == list(range(1, 12))


# what is read


def test_a_doubt_stands_until_somebody_looked() -> None:
    it = tray()
    for mass in (20, 38, 64, 86, 97, 112, 140):
        row(it, mass_g=D(mass))
    heavy = row(it, mass_g=D(1042))
    found = reads.tray_of(builders.saar(), it).doubts
    assert [r.piece.suffix for r in found] == ["8"]
    actions.settle_doubt(builders.saar(), heavy.pk)
    assert reads.tray_of(builders.saar(), it).doubts == []


def test_the_running_sum_stands_against_what_was_poured() -> None:
    """1000 g of plaster set and dry weigh 1186.18 g (18.6 g of water bound per 100 g: the textbook's figure)."""
    from catalog.excavations.models import Pour

    dig = builders.excavation()
    builders.cast("2025.6", excavation=dig)
    with builders.by_hand():
        store(Pour(excavation=dig, n=1, material="plaster", mass_g=D(1000)))
    it = tray()
    row(it, mass_g=D(500))
    found = reads.tray_of(builders.saar(), it)
    assert found.poured_g == pytest.approx(D("1186.18"), abs=D("0.01"))
    assert "of 1.186" in found.sums["share"]


# pages


def test_the_page_of_a_tray(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    tray_place()
    assert client.get("/trays/T-9/").status_code == 302
    typed = {"cast": "E-2026-14", "tray": "T-9", "state": "wet", "key": key()}
    builders.cast("E-2026-14")
    assert client.post("/trays/new/", typed).headers["Location"] == "/trays/T-9/"
    it = TrayList.objects.get()
    row(it, mass_g=D("86.4"), kind="chamber")
    shown = client.get("/trays/T-9/").content.decode()
    assert "86.4" in shown
    assert "/labels/?of=E-2026-14.1" in shown
    assert client.get("/labels/?of=E-2026-14.1").status_code == 200
    assert "E-2026-14" in client.get("/trays/").content.decode()
    assert client.get("/casts/E-2026-14/trays/").status_code == 200
    assert client.post("/trays/T-9/crumbs/", {"mass_g": "61.5", "n": "34", "key": key()}).status_code == 302
    assert client.post("/trays/T-9/crumbs/", {"mass_g": "x", "key": key()}).status_code == 422
    assert client.post("/trays/T-9/change/", {"state": "air dry", "key": key()}).status_code == 302
    assert client.post("/trays/T-9/change/", {"closed": "yes", "key": key()}).status_code == 302
    assert "Open the tray again" in client.get("/trays/T-9/").content.decode()


def test_twenty_rows_at_once_without_script(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    tray()
    assert client.get("/trays/T-9/rows/").content.decode().count('-mass_g" name=') == 20
    typed = {f"r{n}-mass_g": m for n, m in enumerate(["86.4", "97.5", ""])} | {"r0-kind": "shaft", "key": key()}
    assert client.post("/trays/T-9/rows/", typed).status_code == 302
    assert Piece.objects.count() == 2
    wrong = client.post("/trays/T-9/rows/", {"r0-mass_g": "12", "r1-mass_g": "-3", "key": key()})
    assert wrong.status_code == 422
    assert "Row 2, mass, g" in wrong.content.decode()
    taken = client.post("/trays/T-9/rows/", {"r0-mass_g": "12", "r1-mass_g": "3", "r1-number": "1", "key": key()})
    assert "is listed already" in taken.content.decode()
    assert Piece.objects.count() == 2


def test_pasted_rows_are_looked_at_before_anything_is_written(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    tray()
    shown = client.post("/trays/T-9/paste/", {"rows": "mass\tpart\n86.4\tshaft\n9x\ttrunk"}).content.decode()
    assert 'value="86.4"' in shown
    assert "Row 2, mass, g" in shown
    assert "Row 2, part" in shown
    assert not Piece.objects.exists()


def test_a_reader_without_leave_looks_on(client: Any) -> None:
    it = tray()
    row(it, mass_g=D(5))
    builders.signed_in(client, "Lenno Haak")
    assert "data-open" not in client.get("/trays/T-9/").content.decode().replace("data-open-row", "")
    assert client.post("/trays/T-9/rows/", {"r0-mass_g": "5"}).status_code == 403


def test_the_page_asks_the_same_however_many_rows(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    it = tray()
    row(it, mass_g=D(5), faces=1)
    few = asked(client, "/trays/T-9/"), asked(client, "/api/v1/tray-rows/"), asked(client, "/trays/")
    for n in range(12):
        row(it, mass_g=D(5 + n), faces=2)
    assert (asked(client, "/trays/T-9/"), asked(client, "/api/v1/tray-rows/"), asked(client, "/trays/")) == few


# the door of the grid and the outbox


def post(client: Any, **said: Any) -> Any:
    return client.post(
        "/api/v1/tray-rows/", json.dumps({"tray": "T-9"} | said), "application/json", HTTP_IDEMPOTENCY_KEY=key()
    )


def test_the_api_keeps_a_row_and_says_what_comes_next(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    tray()
    uid = str(uuid4())
    answer = post(client, row=uid, mass_g="86.4", kind="shaft", depth="80-88", made_at="2026-11-20T10:00:00Z")
    assert answer.status_code == 201, answer.content
    told = answer.json()
    assert (told["number"], told["next"], told["cells"]["depth"], told["doubt"]) == ("2025.6.1", "2", "80–88", "")
    assert Measurement.objects.get().at.isoformat() == "2026-11-20T10:00:00+00:00"
    again = post(client, row=uid, mass_g="87", version=told["version"])
    assert (again.status_code, again.json()["cells"]["mass_g"]) == (201, "87")
    assert post(client, row=uid, mass_g="88", version=told["version"]).status_code == 412
    wrong = post(client, row=str(uuid4()), mass_g="-3", kind="trunk")
    assert {e["pointer"] for e in wrong.json()["errors"]} == {"/mass_g", "/kind"}
    assert post(client, row=str(uuid4()), tray="T-1").status_code == 404


def test_what_a_balance_sends_falls_into_a_row_once(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    tray()
    reading = keep_reading(builders.saar(), bal_2(), "000017", D("86.4"))
    told = client.get("/trays/T-9/since/?instrument=Bal-2&since=2026-01-01T00:00:00%2B00:00").json()
    assert told["readings"] == [{"cursor": reading.pk, "key": "000017", "mass_g": "86.4"}]
    said = {"mass_g": "86.4", "instrument": "Bal-2", "reading": "000017"}
    assert post(client, row=str(uuid4()), **said).status_code == 201
    assert post(client, row=str(uuid4()), **said).status_code == 409
    assert Piece.objects.count() == 1
    after = client.get("/trays/T-9/since/", {"instrument": "Bal-2", "since": "2100-01-01T00:00:00+00:00"})
    assert after.status_code == 204


def test_rows_of_somebody_else_are_told_since_an_instant(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    it = tray()
    row(it, mass_g=D(5))
    told = client.get("/trays/T-9/since/", {"since": "2026-01-01T00:00:00+00:00"}).json()
    assert [r["number"] for r in told["rows"]] == ["2025.6.1"]
    assert client.get("/trays/T-9/since/", {"since": told["at"]}).status_code == 204
    assert client.get("/trays/T-9/since/", {"since": "nonsense"}).status_code == 200


def test_what_is_due_on_the_balance_is_told_on_the_tray_and_on_today(client: Any) -> None:
    from datetime import timedelta

    from django.utils import timezone

    from catalog.casts.subject import Subject
    from catalog.measurements.actions import weigh
    from registry.places.answers.trays import due_on_the_balance

    it = tray()
    piece = row(it).piece
    weigh(builders.saar(), Subject(it.cast, piece), D("120.4"), state="wet", at=timezone.now() - timedelta(days=3))
    due, constant = reads.due_in(builders.saar(), it)
    assert ([d.piece.number for d in due], constant) == (["2025.6.1"], 0)
    duty = due_on_the_balance(builders.saar())[0]
    assert duty.sentence == "One piece of 2025.6 in T-9 is due on the balance."
    builders.signed_in(client, "Saar Osei")
    assert "One piece due on the balance." in client.get("/trays/T-9/").content.decode()
    assert "Go on with the tray" in client.get("/places/T-9/").content.decode()
    assert "/trays/T-9/" in client.get("/casts/2025.6/").content.decode()
    weigh(builders.saar(), Subject(it.cast, piece), D("120.35"), u_g=D("0.01"), state="air dry")
    assert reads.due_in(builders.saar(), it) == ([], 1)


def test_a_body_that_breaks_keeps_its_weighings() -> None:
    from catalog.casts.actions import Part, break_piece
    from catalog.casts.subject import Subject

    it = tray()
    piece = row(it, mass_g=D("120.4")).piece
    broken = break_piece(builders.saar(), Subject(it.cast, piece), [Part(D("60.2")), Part(D("60.2"))])
    assert "One measurement of 2025.6.1 stays with it; its parts are measured anew." in broken.consequences
    assert reads.tray_of(builders.saar(), it).rows == []
