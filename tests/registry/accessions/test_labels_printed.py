"""Labels from their page: what is asked for is on the sheet, each code reads back by another program at 300 dots."""

from __future__ import annotations

import io
from decimal import Decimal
from typing import Any
from urllib.parse import quote, urlencode

import pdfplumber
import pytest
import zxingcpp
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from PIL import Image

from catalog.casts.models import Piece
from catalog.excavations.models import Bag, Lift
from catalog.ground.acting import store
from catalog.ground.models import Collection
from registry.accessions.reads.labelled import things_of
from registry.places.models import Place, Placement
from tests import builders

pytestmark = pytest.mark.django_db
BASE = "https://tarnholm.example"


def bag(code: str, lift: Lift | None = None) -> Bag:
    with builders.by_hand():
        return store(Bag(code=code, lift=lift))


def lift(n: int = 3, **more: Any) -> Lift:
    with builders.by_hand():
        return store(Lift(excavation=builders.excavation(), n=n, **more))


def place(code: str, kind: str = "shelf", parent: Place | None = None, **more: Any) -> Place:
    with builders.by_hand():
        return store(Place(code=code, name=f"{kind} {code}", kind=kind, parent=parent, **more))


def asking(who: str = "Saar Osei") -> Client:
    builders.collection(label_address=BASE)
    return builders.signed_in(Client(), who)


def printed(client: Client, status: int = 200, **query: Any) -> Any:
    answer = client.get(f"/labels/labels.pdf?{urlencode(query)}")
    assert answer.status_code == status, answer.content[:1500]
    return bytes(answer.content) if status == 200 else answer.content.decode()


def codes_on(pdf: bytes) -> list[str]:
    """What each code says, page by page, read at 300 dots per inch."""
    found = []
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        for page in opened.pages:
            found += [code.text for code in zxingcpp.read_barcodes(page.to_image(resolution=300).original)]
    return sorted(found)


def texts_on(pdf: bytes) -> str:
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        return " ".join(page.extract_text() for page in opened.pages)


def test_labels_for_a_cast_its_pieces_and_places_read_back() -> None:
    client, cast = asking(), builders.cast("2016.1", taxon=builders.taxon())
    for n in (1, 2):
        builders.piece(cast, str(n), kind="shaft", from_cm=Decimal(4), to_cm=Decimal(8), lift=lift(n, up_marked=True))
    place("B-3", holds_kg=Decimal(120), fitness="dry: plaster, wax")
    pdf = printed(client, of="2016.1, TH 2016 1 2; b3\nHTTPS://TARNHOLM.EXAMPLE/Q/2016.1.1", kind="object")
    wanted = [f"HTTPS://TARNHOLM.EXAMPLE/Q/{n}" for n in ("2016.1", "2016.1.1", "2016.1.2", "B-3")]
    assert codes_on(pdf) == wanted
    read = texts_on(pdf)
    for words in ("2016.1", "Mud shrimp", "Upogebia deltaura", "plaster, seven parts", "shaft, 4–8 cm", "up to 120 kg"):
        assert words in read
    assert "North Creek" not in read


def test_piece_labels_come_from_their_cast_in_natural_order() -> None:
    client, cast = asking(), builders.cast("2016.1")
    for n in (10, 9, 1):
        builders.piece(cast, str(n))
    with builders.by_hand():
        gone = Piece.objects.get(suffix="9")
        gone.present = False
        store(gone)
    pdf = printed(client, of="pieces:2016.1")
    assert codes_on(pdf) == ["HTTPS://TARNHOLM.EXAMPLE/Q/2016.1.1", "HTTPS://TARNHOLM.EXAMPLE/Q/2016.1.10"]
    assert texts_on(pdf).index("2016.1.1 ") < texts_on(pdf).index("2016.1.10")


def test_bag_labels_go_in_pairs_with_codes_that_are_not_used_yet() -> None:
    client = asking()
    bag("BAG-1")
    bag("BAG-2")
    bag("BAG-3", lift(3, from_cm=Decimal(20), to_cm=Decimal(30)))
    pdf = printed(client, of="bags", kind="bag")
    assert codes_on(pdf) == sorted(2 * [f"HTTPS://TARNHOLM.EXAMPLE/Q/BAG-{n}" for n in (1, 2)])
    read = texts_on(pdf)
    assert read.count("inside the bag") == read.count("outside the bag") == 2
    tied = texts_on(printed(client, of="BAG-3"))
    assert "lift 3, D-2026-1" in tied
    assert "20–30 cm" in tied


def test_a_tray_says_what_is_in_it_and_a_crate_which_way_is_up() -> None:
    client, cast = asking(), builders.cast("2016.1")
    tray = place("T-9", "tray", movable=True)
    for n in (1, 2, 3):
        with builders.by_hand():
            store(Placement(cast=cast, piece=builders.piece(cast, str(n), lift=lift(n)), place=tray))
    read = texts_on(printed(client, of="T-9"))
    for words in ("2016.1.1 to .3", "3 pieces, lifts 1 to 3", "Lift the tray, not the piece."):
        assert words in read
    place("K-12", "crate", movable=True, holds_kg=Decimal(40))
    assert "up to 40 kg" in texts_on(printed(client, of="K-12"))


@pytest.mark.parametrize("kind", ["piece", "small-piece", "object", "tray", "shelf", "crate", "showcase", "bag"])
@pytest.mark.parametrize("on", ["sheet", "roll"])
def test_every_kind_reads_back_on_sheet_and_roll(kind: str, on: str) -> None:
    client = asking()
    builders.cast("2016.1", taxon=builders.taxon())
    n = 2 if kind == "bag" else 1
    assert codes_on(printed(client, of="2016.1", kind=kind, on=on)) == n * ["HTTPS://TARNHOLM.EXAMPLE/Q/2016.1"]


def test_a_used_sheet_goes_on_at_its_first_free_label() -> None:
    client = asking()
    for n in range(1, 5):
        builders.cast(f"2016.{n}")
    numbers = ",".join(f"2016.{n}" for n in range(1, 5))
    with pdfplumber.open(io.BytesIO(printed(client, of=numbers, kind="piece", first=41))) as opened:
        assert len(opened.pages) == 2
        assert [sum(r["width"] > 140 for r in page.rects) for page in opened.pages] == [2, 2]
    page = client.get(f"/labels/?of={numbers}&kind=piece&first=41").content.decode()
    assert "Two sheets: the first from label 41, the last to label 2." in page
    assert (
        "Write a first free label from 1 to 42"
        in client.get(f"/labels/?of={numbers}&kind=piece&first=43").content.decode()
    )
    assert "Write a first free label from 1 to 42" in printed(client, 422, of=numbers, kind="piece", first=43)


def test_labels_for_exactly_the_rows_of_a_list() -> None:
    client = asking()
    for n, material in enumerate(["wax", "plaster", "wax"], 1):
        builders.cast(f"2016.{n}", material=material)
    of = "list:material=wax&sort=number"
    assert codes_on(printed(client, of=of)) == [f"HTTPS://TARNHOLM.EXAMPLE/Q/2016.{n}" for n in (1, 3)]
    page = client.get(f"/labels/?of={quote(of)}").content.decode()
    assert "Labels for 2 casts" in page
    assert "Take some out" in page
    assert "/labels/?of=list:material%3Dwax" in client.get("/casts/?material=wax").content.decode()
    assert f'value="{of.replace("&", "&amp;")}"' in page


def test_what_is_not_ours_is_named_and_nothing_is_left_out_unseen() -> None:
    client = asking()
    builders.cast("2016.1")
    page = client.get("/labels/?of=2016.1,2099.9,%3Cscript%3E").content.decode()
    assert "Two of these are not ours." in page
    assert "“2099.9”" in page
    assert "&lt;script&gt;" in page
    assert "<script>" not in page
    assert 'aria-disabled="true"' in page
    assert "“2099.9” is not a number of ours." in printed(client, 422, of="2016.1,2099.9")


def test_without_numbers_the_page_says_how_to_choose() -> None:
    client = asking()
    page = client.get("/labels/")
    assert page.status_code == 200
    assert "Choose what to label: scan, type, or come from a list." in page.content.decode()
    assert "There is nothing to print a label for." in printed(client, 422)


@pytest.mark.parametrize(
    "query, sentence",
    [
        ({"of": "2016.1", "kind": "poster"}, "There is no label called"),
        ({"of": "2016.1", "first": "minus"}, "is not a whole number"),
        ({"of": "2016.1", "on": "wall"}, "Choose one of these."),
        ({"of": "pieces:2099.1"}, "not a number of ours"),
        ({"of": ",".join(f"1999.{n}" for n in range(501))}, "At most 500 labels"),
    ],
)
def test_what_is_asked_wrongly_is_said(query: dict[str, str], sentence: str) -> None:
    client = asking()
    builders.cast("2016.1")
    answer = client.get(f"/labels/?{urlencode(query)}")
    assert answer.status_code in (404, 422)
    assert sentence in answer.content.decode()
    assert client.get(f"/labels/labels.pdf?{urlencode(query)}").status_code in (404, 422)


def test_the_page_says_what_the_length_of_the_address_costs() -> None:
    client = asking()
    builders.cast("2016.1", n_parts=1)
    page = client.get("/labels/?of=2016.1&kind=piece").content.decode()
    assert "33 modules a side, each 0.52 mm on this label" in page
    with builders.by_hand():
        ours = Collection.objects.get()
        ours.label_address = "https://the.collections.of.the.marsh.tarnholm-station.example"
        store(ours)
    page = client.get("/labels/?of=2016.1&kind=small-piece").content.decode()
    assert "Under 0.35 mm a printer smears them" in page
    assert "shorter would give" in page


def test_the_pictures_are_those_of_the_labels_at_their_true_size() -> None:
    client = asking()
    builders.cast("2016.1", taxon=builders.taxon())
    page = client.get("/labels/?of=2016.1").content.decode()
    assert 'src="/labels/label.png?of=2016.1&amp;kind=object" width="189" height="94"' in page  # 50 by 25 mm at 96 dots
    picture = client.get("/labels/label.png?of=2016.1&kind=object")
    assert picture["Content-Type"] == "image/png"
    drawn = Image.open(io.BytesIO(picture.content))
    assert abs(drawn.width - 567) <= 1
    assert [code.text for code in zxingcpp.read_barcodes(drawn)] == ["HTTPS://TARNHOLM.EXAMPLE/Q/2016.1"]
    sheet = client.get("/labels/sheet.png?of=2016.1&kind=object&first=4")
    assert abs(Image.open(io.BytesIO(sheet.content)).width - 595) <= 1
    assert client.get("/labels/label.png").status_code == 404


def test_the_test_page_has_a_ruler_in_millimetres() -> None:
    client = asking()
    answer = client.get("/labels/test.pdf?kind=piece&on=sheet")
    with pdfplumber.open(io.BytesIO(answer.content)) as opened:
        assert "Test page" in opened.pages[0].extract_text()
        ticks = sorted({round(line["x0"] * 25.4 / 72, 1) for line in opened.pages[0].lines if line["height"] > 14})
        assert ticks[:3] == [20.0, 30.0, 40.0]


@pytest.mark.parametrize("who, status", [("Lenno Haak", 403), ("Ottilie Brandt", 200), ("Imke Roodenburg", 200)])
def test_who_prints_labels(who: str, status: int) -> None:
    client = asking(who)
    builders.cast("2016.1")
    for address in ("/labels/?of=2016.1", "/labels/labels.pdf?of=2016.1", "/labels/label.png?of=2016.1"):
        assert client.get(address).status_code == status


def test_sixty_numbers_ask_as_many_queries_as_three() -> None:
    client, cast = asking(), builders.cast("2016.1")
    for n in range(1, 61):
        builders.piece(cast, str(n))
    counts = []
    for n in (3, 3, 60):
        numbers = ",".join(f"2016.1.{k}" for k in range(1, n + 1))
        with CaptureQueriesContext(connection) as queries:
            assert client.get(f"/labels/?of={numbers}").status_code == 200
        counts.append(len(queries))
    assert counts[2] == counts[1]


def test_five_hundred_labels_at_once() -> None:
    client, cast = asking(), builders.cast("2016.1")
    for n in range(1, 501):
        builders.piece(cast, str(n))
    pdf = printed(client, of="pieces:2016.1")
    with pdfplumber.open(io.BytesIO(pdf)) as opened:
        assert len(opened.pages) == 12


def test_an_old_number_gives_the_label_of_the_number_it_has_now() -> None:
    from tests.registry.accessions import makers_accessions as makers

    asking()
    made = makers.numbered()
    things, unknown = things_of(builders.saar(), ["E-2026-1", made.number.lower(), "2016.1.99"])
    assert [thing.number for thing in things] == [made.number]
    assert unknown == ["2016.1.99"]


@pytest.mark.parametrize("address", ["tarnholm.example", "https://tarnholm.example/casts", "https://a@b.example"])
def test_an_address_that_no_code_can_hold_is_refused_where_it_is_set(address: str) -> None:
    from dataclasses import fields

    from catalog.people.rules import hinders_settings
    from catalog.people.said import CollectionSaid

    ours = builders.collection()
    facts = {f.name: getattr(ours, f.name) for f in fields(CollectionSaid)}
    assert not [r for r in hinders_settings(CollectionSaid(**facts), heads=2) if r.field == "label_address"]
    wrong = hinders_settings(CollectionSaid(**(facts | {"label_address": address})), heads=2)
    assert [r.said for r in wrong if r.field == "label_address"] == [address]
