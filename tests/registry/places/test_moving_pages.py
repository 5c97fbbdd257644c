"""Moving on the page: what to mind is shown before, one sentence writes it, one press takes it back."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from catalog.casts.subject import Subject
from catalog.ground.collection import today
from registry.condition.actions import restrict
from registry.condition.said import RestrictionSaid
from registry.places import actions
from registry.places.models import Movement, Placement
from tests import builders
from tests.registry.places.makers_places import carry, key, put, tree

pytestmark = pytest.mark.django_db
MOVE = "/movements/new/"


def html(answer: Any) -> str:
    return str(answer.content.decode())


def test_the_page_says_before_it_is_moved_what_to_mind(client: Any) -> None:
    places = tree()
    fixed = builders.cast("2011.3", handling="Four people and its plan.", hazards="Lead.")
    put(fixed, places["F-1"])
    actions.change_place(builders.imke(), places["H"].pk, {"fitness": "warm in summer", "who_enters": "the registrar"})
    builders.signed_in(client, "Imke Roodenburg")
    page = html(client.get(f"{MOVE}?of=2011.3&to=H"))
    for sentence in (
        "It is in frame 1.",
        "2011.3 is fixed to F-1.",
        "Four people and its plan.",
        "Hazards: Lead.",
        "What H is fit for: warm in summer",
        "H is entered by the registrar.",
    ):
        assert sentence in page
    assert 'value="2011.3"' in page
    assert 'data-outbox data-api="/api/v1/movements/"' in page


def test_a_fixed_cast_asks_why_and_keeps_what_was_typed(client: Any) -> None:
    places = tree()
    put(builders.cast("2011.3"), places["F-1"])
    builders.signed_in(client, "Imke Roodenburg")
    said = {"what": "2011.3", "to": "H", "key": key()}
    refused = client.post(MOVE, said)
    assert refused.status_code == 422
    assert "2011.3 is fixed to F-1. Write why it is moved, and who helps." in html(refused)
    assert 'value="H"' in html(refused)
    assert client.post(MOVE, said | {"because": "new frame, with Saar"}).status_code == 302


def test_a_technician_is_told_who_may_move_a_fragile_cast(client: Any) -> None:
    places = tree()
    put(builders.cast(fragile=True), places["B-3"])
    builders.signed_in(client, "Saar Osei")
    page = html(client.get(f"{MOVE}?of=2016.1&to=H"))
    assert "2016.1 is fragile. Only a registrar, the keeper or a preparator may move it." in page
    assert "It is not to be moved" in page
    refused = client.post(MOVE, {"what": "2016.1", "to": "H", "because": "a look"})
    assert refused.status_code == 403
    assert Movement.objects.count() == 1


def test_what_is_barred_is_closed_on_the_page_and_refused(client: Any) -> None:
    tree(), builders.tobias()
    cast = builders.cast("2019.3")
    restrict(builders.ottilie(), Subject(cast), RestrictionSaid("move", "it is softened by heat"))
    builders.signed_in(client, "Imke Roodenburg")
    page = html(client.get(f"{MOVE}?of=2019.3&to=H"))
    assert "2019.3 cannot be moved: it is softened by heat" in page
    assert "Tobias Wren may lift it." in page
    assert 'aria-disabled="true"' in page
    refused = client.post(MOVE, {"what": "2019.3", "to": "H"})
    assert refused.status_code == 422
    assert "Tobias Wren may lift it." in html(refused)
    assert not Movement.objects.exists()


def test_a_move_leads_to_the_thing_with_its_undo(client: Any) -> None:
    places, cast = tree(), builders.cast()
    put(cast, places["B-3"], days_ago=2)
    builders.signed_in(client, "Saar Osei")
    done = client.post(MOVE, {"what": "2016.1", "to": "K-12", "because": "packed", "key": key()}, follow=True)
    assert done.redirect_chain == [("/casts/2016.1/", 302)]
    page = html(done)
    assert "2016.1 is now in K-12." in page
    moved = Movement.objects.latest("pk")
    assert f'action="/movements/{moved.pk}/undo/"' in page
    assert (moved.by.name, moved.because, moved.from_place) == ("Saar Osei", "packed", places["B-3"])
    back = client.post(f"/movements/{moved.pk}/undo/", {"key": key()}, follow=True)
    assert "Taken back. 2016.1 is now on shelf 3." in html(back)
    assert Placement.objects.get(cast=cast).place == places["B-3"]
    assert client.post(f"/movements/{moved.pk}/undo/", {"key": key()}).status_code == 422


def test_only_who_moved_it_today_is_offered_the_undo(client: Any) -> None:
    places, cast = tree(), builders.cast()
    moved = put(cast, places["B-3"])
    offer = f"/movements/{moved.pk}/undo/"
    builders.signed_in(client, "Saar Osei")
    assert offer not in html(client.get(cast.href))
    builders.signed_in(client, "Imke Roodenburg")
    assert offer in html(client.get(cast.href))


def test_a_crate_moves_with_what_is_in_it_and_says_how_much(client: Any) -> None:
    places = tree()
    for n in (1, 2):
        put(builders.cast(f"2016.{n}", n_parts=7), places["K-12"])
    builders.signed_in(client, "Saar Osei")
    page = html(client.get(f"{MOVE}?of=K-12"))
    assert "14 pieces of two casts go with it." in page
    assert "/movements/papers/movement-list.pdf?of=K-12&amp;to=H" in html(client.get(f"{MOVE}?of=K-12&to=H"))
    done = client.post(MOVE, {"what": "K-12", "to": "A-3", "key": key()}, follow=True)
    assert done.redirect_chain == [("/places/K-12/", 302)]
    assert "K-12 is now on shelf 3, with 14 pieces." in html(done)


def test_one_scan_after_the_other_goes_into_the_same_place(client: Any) -> None:
    tree(), builders.cast("2016.1"), builders.cast("2016.2")
    builders.signed_in(client, "Saar Osei")
    assert "Scan one thing after the other" in html(client.get(f"{MOVE}?to=K-12"))
    for n in (1, 2):
        # a scan presses no button: the form itself says that the next one follows
        said = {"what": f"HTTPS://TARNHOLM.EXAMPLE/Q/2016.{n}", "to": "K-12", "scanning": "yes", "key": key()}
        done = client.post(MOVE, said)
        moved = Movement.objects.latest("pk")
        assert done["Location"] == f"{MOVE}?to=K-12&done={moved.pk}"
        page = html(client.get(done["Location"]))
        assert f"2016.{n} is now in K-12." in page
        assert f'action="/movements/{moved.pk}/undo/"' in page
    last = {"what": "2016.1", "to": "H", "scanning": "yes", "then": "done", "key": key()}
    assert client.post(MOVE, last)["Location"] == "/casts/2016.1/"


def test_a_doubled_press_moves_once(client: Any) -> None:
    tree(), builders.cast()
    builders.signed_in(client, "Saar Osei")
    said = {"what": "2016.1", "to": "K-12", "key": key()}
    first, second = client.post(MOVE, said), client.post(MOVE, said)
    assert (first.status_code, second.status_code, second["Kept-Answer"]) == (302, 302, "true")
    assert Movement.objects.count() == 1


def test_what_was_done_on_friday_is_typed_on_monday(client: Any) -> None:
    places, cast = tree(), builders.cast()
    put(cast, places["H"], days_ago=1)
    builders.signed_in(client, "Saar Osei")
    day = today() - timedelta(days=3)
    said = {"what": "2016.1", "to": "K-12", "at": f"{day:%d %B %Y}, 14:02", "key": key()}
    done = client.post(MOVE, said, follow=True)
    assert "It is written. 2016.1 went on since then: it is now in Stair hall." in html(done)
    assert Placement.objects.get(cast=cast).place == places["H"]


@pytest.mark.parametrize(
    "field, typed, sentence",
    [
        ("what", "", "Scan or write the number"),
        ("what", "2099.9", "not a number of ours"),
        ("to", "", "Scan or write the place"),
        ("to", "Shelf 3", "Two places are called Shelf 3. Write A-3 or B-3."),
        ("at", "spring tide", "We cannot read"),
        ("at", "June 2011", "Here the day and the hour are wanted"),
        ("at", "2099-01-01T10:00", "has not happened"),
        ("by", "Nobody at all", "not one person on record here"),
        ("back_on", "31 February", "does not exist"),
        ("back_on", "2001-01-01", "due back before"),
        ("because", "x" * 301, "Shorten this"),
    ],
)
def test_what_is_wrong_is_named_and_kept(client: Any, field: str, typed: str, sentence: str) -> None:
    tree(), builders.cast()
    builders.signed_in(client, "Saar Osei")
    said = {"what": "2016.1", "to": "K-12", "because": '🐚 "O\'Neill"', "key": key()}
    answer = client.post(MOVE, said | {field: typed})
    assert answer.status_code == 422
    assert sentence in html(answer)
    assert "The movement is not written." in html(answer)
    assert field == "because" or "O&#x27;Neill" in html(answer)
    assert not Movement.objects.exists()


def test_a_wrong_movement_is_put_right_and_stays_readable(client: Any) -> None:
    places, cast = tree(), builders.cast()
    put(cast, places["B-3"], days_ago=3)
    wrong = put(cast, places["H"], days_ago=1)
    builders.signed_in(client, "Saar Osei")
    address = f"/movements/{wrong.pk}/correct/"
    assert client.post(address, {"to": "K-12", "because": ""}).status_code == 422
    assert "It says H already" in html(client.post(address, {"to": "H", "because": "typo"}))
    done = client.post(address, {"to": "K-12", "because": "the crate, not the hall", "key": key()}, follow=True)
    assert "Put right. 2016.1 is now in K-12." in html(done)
    page = html(client.get(f"/movements/{wrong.pk}/"))
    assert "It was written that 2016.1 went from shelf 3 to Stair hall" in page
    assert "the crate, not the hall" in page
    assert "put right already" in html(client.post(address, {"to": "B", "because": "again"}))


def test_the_page_of_a_cast_says_where_it_is_where_it_belongs_and_which_pieces_went_away(client: Any) -> None:
    places, cast = tree(), builders.cast()
    builders.signed_in(client, "Saar Osei")
    assert "Nobody has said yet where it is." in html(client.get(cast.href))
    put(cast, places["B-3"], days_ago=9)
    actions.take_custody(builders.imke(), cast, from_words="Marit Olde", because="brought in as E-2016-1")
    pieces = [builders.piece(cast, str(n)) for n in range(1, 13)]
    for piece in pieces[:10]:
        actions.move(builders.imke(), Subject(cast, piece), places["T-7"])
    put(cast, places["H"], back_on=today())
    page = html(client.get(cast.href))
    assert "In Stair hall, since" in page
    assert "on shelf 3 in bay B" in page
    assert "To be back today" in page
    assert "These pieces and 2 more stand elsewhere" in page
    assert "We have it, since" in page
    assert "from Marit Olde" in page
    assert "With its cast, in Stair hall" in html(client.get(pieces[11].href))
    assert "In T-7" in html(client.get(pieces[0].href))


def test_where_a_cast_belongs_is_said_apart_from_where_it_is(client: Any) -> None:
    places, cast = tree(), builders.cast()
    put(cast, places["H"])
    builders.signed_in(client, "Saar Osei")
    address = f"{cast.href}home/"
    version = Placement.objects.get(cast=cast).version
    assert client.post(address, {"home": "Bay B, Shelf 3", "version": version}).status_code == 302
    placed = Placement.objects.get(cast=cast)
    assert (placed.home, placed.place) == (places["B-3"], places["H"])
    assert client.post(address, {"home": "A-3", "version": version}).status_code == 412
    assert "not a place of ours" in html(client.post(address, {"home": "Z-9", "version": placed.version}))


def test_movements_go_out_with_exactly_the_rows_shown(client: Any) -> None:
    places = tree()
    put(builders.cast("2016.1"), places["K-12"], because="=cmd()")
    put(builders.cast("2016.2"), places["H"])
    builders.signed_in(client, "Lenno Haak")
    table = b"".join(client.get("/movements/?to=K-12&format=csv")).decode()
    assert table.count("\r\n") == 2
    assert "'=cmd()" in table
    assert "2016.2" not in table
    assert client.get("/movements/?format=xlsx").content[:2] == b"PK"
    page = html(client.get("/movements/?place=H"))
    assert "Movements at Stair hall" in page
    assert "2016.2" in page
    assert ">2016.1<" not in page
    assert "No movement is all of that" in html(client.get("/movements/?place=VAN-1"))


def test_a_crate_and_a_thing_are_found_and_moved_from_a_place_page(client: Any) -> None:
    places = tree()
    put(builders.cast(), places["K-12"])
    builders.signed_in(client, "Saar Osei")
    done = client.post(MOVE, {"what": "K-12", "to": "VAN-1", "key": key()}, follow=True)
    assert "In VAN-1" in html(done)
    carry(places["K-12"], places["H"])
    assert f"{MOVE}?to=K-12" in html(client.get("/places/K-12/"))
