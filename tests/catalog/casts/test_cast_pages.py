"""The pages of casts: found under every number, described by two people, determined by one and accepted by another."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from catalog.casts import actions
from catalog.casts.models import Cast, Determination
from catalog.ground.refusal import Hindered, NotAllowed, Refusal
from tests import builders

pytestmark = pytest.mark.django_db


def described(number: str = "E-2026-14", **more: Any) -> Cast:
    return actions.record_cast(
        builders.saar(), number, {"description": "Plaster cast of a branching burrow", "material": "plaster"} | more
    )


def renumbered(cast: Cast, number: str) -> Cast:
    from catalog.ground.acting import action

    @action("cast.describe")
    def renumber(actor: Any) -> Cast:
        return actions.renumber_cast(actor, actions.hold_cast(cast.pk), number, year=2026)

    return renumber(builders.imke())


def test_an_old_number_leads_on_for_ever(client: Any) -> None:
    renumbered(described(), "2026.1")
    builders.signed_in(client, "Saar Osei")
    answer = client.get("/casts/e-2026-14/")
    assert (answer.status_code, answer["Location"]) == (308, "/casts/2026.1/")
    assert client.get("/casts/2026.1/").status_code == 200


def test_a_number_is_never_given_twice() -> None:
    renumbered(described(), "2026.1")
    with pytest.raises(Refusal, match="A number is never given twice"):
        described("E-2026-14")


def test_two_describe_one_cast_and_neither_is_lost(client: Any) -> None:
    cast = described()
    builders.signed_in(client, "Saar Osei")
    page = {"description": cast.description, "material": "plaster", "version": 1}
    assert client.post(f"{cast.href}change/", page | {"note": "from the marsh", "key": "a" * 20}).status_code == 302
    answer = client.post(f"{cast.href}change/", page | {"handling": "two people", "key": "b" * 20})
    assert answer.status_code == 302
    cast.refresh_from_db()
    assert (cast.note, cast.handling) == ("from the marsh", "two people")


def test_the_second_hand_sees_both_and_chooses(client: Any) -> None:
    cast = described()
    builders.signed_in(client, "Saar Osei")
    page = {"description": cast.description, "material": "plaster", "version": 1}
    client.post(f"{cast.href}change/", page | {"note": "from the marsh", "key": "a" * 20})
    both = client.post(f"{cast.href}change/", page | {"note": "from the dune", "key": "b" * 20})
    assert both.status_code == 412
    assert "from the marsh" in both.content.decode()
    assert "from the dune" in both.content.decode()
    cast.refresh_from_db()
    assert cast.note == "from the marsh"
    chosen = page | {"note": "from the dune", "version": cast.version, "take_note": "mine", "key": "c" * 20}
    assert client.post(f"{cast.href}change/", chosen).status_code == 302
    cast.refresh_from_db()
    assert cast.note == "from the dune"


@pytest.mark.parametrize(
    "field, typed, sentence",
    [
        ("mass", "-3", "below zero"),
        ("made_on", "31 February", "does not exist"),
        ("made_on", "2199", "has not come yet"),
        ("n_parts", "seven", "not a whole number"),
        ("excavation", "D-1999-9", "not an excavation of ours"),
        ("note", "x" * 10_001, "Shorten this"),
    ],
)
def test_what_is_wrong_is_named_and_kept(client: Any, field: str, typed: str, sentence: str) -> None:
    cast = described()
    builders.signed_in(client, "Saar Osei")
    answer = client.post(f"{cast.href}change/", {"description": '🐚 "O\'Neill"', field: typed, "version": 1})
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert "O&#x27;Neill" in answer.content.decode()
    cast.refresh_from_db()
    assert cast.version == 1


@pytest.mark.parametrize("typed, grams", [("1,5 kg", 1500), ("1.5kg", 1500), ("1 500 g", 1500), ("421.6", 421.6)])
def test_a_mass_is_read_as_the_field_book_writes_it(client: Any, typed: str, grams: float) -> None:
    cast = described()
    builders.signed_in(client, "Saar Osei")
    assert client.post(f"{cast.href}change/", {"description": "x", "mass": typed, "version": 1}).status_code == 302
    cast.refresh_from_db()
    assert float(cast.mass_g) == grams
    assert cast.mass_said == typed


def test_nobody_accepts_their_own_determination() -> None:
    cast, shrimp = described(), builders.taxon()
    mine = actions.determine(builders.tobias(), cast, ground="form of the nest", taxon=shrimp)
    with pytest.raises(NotAllowed, match="Nobody decides on what they proposed"):
        actions.accept_determination(builders.tobias(), mine.pk)
    theirs = actions.determine(builders.saar(), cast, ground="animal seen", taxon=shrimp)
    actions.accept_determination(builders.tobias(), theirs.pk)
    cast.refresh_from_db()
    assert cast.taxon == shrimp
    with pytest.raises(Hindered):
        actions.accept_determination(builders.tobias(), theirs.pk)


def test_an_earlier_determination_stays_beside_the_current_one() -> None:
    cast = described()
    crab = builders.taxon("Ocypode ceratophthalma", "ghost crab")
    for taxon in (builders.taxon(), crab):
        made = actions.determine(builders.saar(), cast, ground="form of the nest", taxon=taxon)
        actions.accept_determination(builders.tobias(), made.pk)
    cast.refresh_from_db()
    assert cast.taxon == crab
    assert list(Determination.objects.order_by("pk").values_list("accepted", flat=True)) == [False, True]


def test_a_change_is_undone_as_a_new_version(client: Any) -> None:
    cast = described()
    actions.describe_cast(builders.saar(), cast.pk, {"note": "wrong cast", "material": "wax"})
    actions.undo_change(builders.imke(), cast.pk, 2)
    cast.refresh_from_db()
    assert (cast.note, cast.material, cast.version) == ("", "plaster", 3)
    with pytest.raises(Refusal, match="changed again since"):
        actions.undo_change(builders.imke(), cast.pk, 2)


def test_the_cast_page_asks_as_many_questions_with_2_pieces_as_with_180(client: Any) -> None:
    small, large = described("E-2026-1"), described("E-2026-2")
    for n in range(1, 181):
        builders.piece(large, str(n), mass_g=n)
    for n in (1, 2):
        builders.piece(small, str(n))
    builders.signed_in(client, "Imke Roodenburg")
    counts = []
    for cast in (small, small, large):
        with CaptureQueriesContext(
            connection,
        ) as queries:
            assert client.get(cast.href).status_code == 200
        counts.append(len(queries))
    assert counts[2] <= counts[1]
    assert counts[2] <= 60


def test_the_list_asks_as_many_queries_with_30_rows_as_with_3(client: Any) -> None:
    builders.signed_in(client, "Imke Roodenburg")

    def asked(address: str) -> int:
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            assert client.get(address).status_code == 200
        return len(queries)

    for n in range(3):
        builders.piece(described(f"E-2026-{n + 1}"), "1")
    few = {a: asked(a) for a in ("/casts/", "/api/v1/casts/", "/api/v1/pieces/")}
    for n in range(3, 30):
        builders.piece(described(f"E-2026-{n + 1}"), "1")
    many = {a: asked(a) for a in few}
    assert many == few


def test_a_list_goes_out_with_exactly_its_rows(client: Any) -> None:
    described("E-2026-1", material="wax", note="=cmd()")
    described("E-2026-2")
    builders.signed_in(client, "Saar Osei")
    table = b"".join(client.get("/casts/?material=wax&format=csv")).decode()
    assert table.count("\r\n") == 2
    assert "E-2026-1" in table
    assert len(client.get("/casts/?format=json").json()) == 2
    assert client.get("/casts/?material=wax&format=xlsx").content[:2] == b"PK"


def test_a_visitor_sees_no_cast_that_is_not_published(client: Any) -> None:
    cast = described()
    builders.collection()
    for address in ("/casts/", "/api/v1/casts/"):
        assert cast.number not in client.get(address).content.decode()
    assert client.get(cast.href).status_code == client.get("/casts/2099.1/").status_code == 404
    assert client.get(f"/api/v1/casts/{cast.number}/").status_code == 404


def test_the_api_describes_with_the_version_it_saw(client: Any) -> None:
    cast = described()
    builders.signed_in(client, "Saar Osei")
    address = f"/api/v1/casts/{cast.number}/"
    tag = client.get(address)["ETag"]
    body = {"mass_g": "1,5 kg", "made_on": "summer 2011", "former_numbers": ["Nest 7"]}
    sent = {"content_type": "application/json"}
    assert client.patch(address, body, **sent).status_code == 428
    done = client.patch(address, body, headers={"If-Match": tag}, **sent)
    assert done.status_code == 200, done.content
    assert (done.json()["mass_g"], done.json()["made_on"]["earliest"], done.json()["former_numbers"]) == (
        1500,
        "2011-06-01",
        ["Nest 7"],
    )
    stale = client.patch(address, body, headers={"If-Match": tag}, **sent)
    assert stale.status_code == 412
    assert stale.json()["now"]["mass_g"] == 1500
    wrong = client.patch(address, {"massg": 3}, headers={"If-Match": done["ETag"]}, **sent)
    assert wrong.status_code == 422
    assert wrong.json()["errors"][0]["pointer"] == "/massg"


def test_a_mass_of_three_decimals_stands_in_the_form_so_that_it_is_taken_back(client: Any) -> None:
    builders.signed_in(client, "Imke Roodenburg")
    cast = described("E-2026-1", mass_g=Decimal("412.605"))
    shown = client.get(f"{cast.href}change/").context["form"]
    typed = {name: shown[name].value() for name in shown.fields if shown[name].value() not in (None, "")}
    assert typed["mass"] == "412.6050"
    answer = client.post(f"{cast.href}change/", typed | {"excavation": "", "original": ""})
    assert answer.status_code == 302, answer.context["form"].errors
    cast.refresh_from_db()
    assert cast.mass_g == Decimal("412.605")
