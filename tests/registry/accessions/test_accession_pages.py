"""The pages of this room, as people open and press them."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from catalog.ground.collection import today
from registry.accessions import actions
from registry.accessions.models import Accession, Acquisition, Entry, Exit, LedgerLine, Title
from registry.accessions.said import AccessionSaid, CaseSaid, DecisionSaid, TranscribedSaid
from tests import builders
from tests.registry.accessions.makers_accessions import again, brought_in, entry, kept, numbered

pytestmark = pytest.mark.django_db


def imke() -> Client:
    return builders.signed_in(Client(), "Imke Roodenburg")


def saar() -> Client:
    return builders.signed_in(Client(), "Saar Osei")


def tobias() -> Client:
    return builders.signed_in(Client(), "Tobias Wren")


def text(answer: Any) -> str:
    return str(answer.content.decode())


# bringing in


def test_the_door_page_takes_two_answers_and_leads_to_the_entry() -> None:
    client = saar()
    page = client.get("/entries/new/")
    assert f"E-{today().year}-1" in text(page)
    assert 'data-pencil="entry"' in text(page)
    assert 'data-outbox data-api="/api/v1/entries/"' in text(page)
    assert "Do not brush or sand it" in text(page)
    answer = client.post("/entries/new/", {"what": "A box", "how": "offered", "key": "k" * 20})
    made = Entry.objects.get()
    assert (answer.status_code, answer["Location"]) == (302, f"/entries/{made.number}/")
    shown = text(client.get(answer["Location"]))
    assert "A box" in shown
    assert f"/entries/{made.number}/papers/receipt.pdf" in shown


def test_a_double_press_is_one_entry() -> None:
    client, said = saar(), {"what": "A box", "how": "offered", "key": "k" * 20}
    first, second = client.post("/entries/new/", said), client.post("/entries/new/", said)
    assert first["Location"] == second["Location"]
    assert Entry.objects.count() == 1


def test_what_was_typed_stays_when_something_is_wrong() -> None:
    said = {
        "what": "", "how": "offered", "from": "Marit “O'Brien” 🐞", "came_on": "31 February 2026", "parts": "-3",
        "former_numbers": "Nest 7\nNest 7a", "place": "B-9", "value": "1.500",
    }  # fmt: skip
    answer = saar().post("/entries/new/", said)
    page = text(answer)
    assert answer.status_code == 422
    assert "<title>Not written: " in page
    assert "31 February does not exist" in page
    assert "can be read in two ways" in page
    assert "Marit “O&#x27;Brien” 🐞" in page
    assert "Nest 7\nNest 7a" in page
    assert not Entry.objects.exists()
    answer = saar().post("/entries/new/", {"what": "A box", "how": "offered", "place": "B-9", "came_on": "2999-01-01"})
    assert "not come yet" in text(answer)
    answer = saar().post("/entries/new/", {"what": "A box", "how": "offered", "place": "B-9"})
    assert (answer.status_code, "not a place of ours" in text(answer)) == (422, True)
    assert not Entry.objects.exists()


def test_all_that_is_known_at_the_door_is_kept() -> None:
    said = {
        "what": "Three casts", "how": "offered", "from": "Marit Olde", "owner": "Jonna Beck", "objects": "3",
        "parts": "5", "parts_are": "boxes", "value": "1 250,50", "hazards": "Old plaster", "came_on": "2026-01-12",
    }  # fmt: skip
    answer = saar().post("/entries/new/", said)
    made = Entry.objects.get()
    assert answer.status_code == 302, text(answer)
    assert (made.from_words, made.owner_words, made.n_parts, made.objects_of.count()) == (
        "Marit Olde",
        "Jonna Beck",
        5,
        3,
    )
    assert "1 250" not in text(saar().get(made.href)), "a technician reads no values"
    assert "Value as stated" in text(imke().get(made.href))


def test_an_entry_shows_what_comes_next_only_to_who_may() -> None:
    made = entry("A box", "offered", from_words="Marit Olde")
    href = f"/casts/{made.number}"
    for client, there, not_there in [
        (saar(), ["/proposal/", "/change/"], ["/accession/", "/give-back/", "/decision/"]),
        (imke(), ["/proposal/", "/give-back/", "/refuse/", "/accession/"], ["/decision/"]),
        (builders.signed_in(Client(), "Lenno Haak"), [], ["/proposal/", "/change/", "/give-back/"]),
    ]:
        page = text(client.get(made.href))
        assert all(f"{href}{deed}" in page for deed in there)
        assert not any(f'href="{href}{deed}' in page for deed in not_there)


def test_two_hands_on_one_entry_lose_nothing() -> None:
    made = entry("A box", "offered", from_words="Marit Olde")
    begin = {"what": "A box", "how": "offered", "came_on": today().isoformat(), "from": "Marit Olde", "version": "1"}
    assert saar().post(f"{made.href}change/", begin | {"note": "wet"}).status_code == 302
    assert imke().post(f"{made.href}change/", begin | {"packing": "straw"}).status_code == 302
    made.refresh_from_db()
    assert (made.note, made.packing) == ("wet", "straw")
    clash = imke().post(f"{made.href}change/", begin | {"note": "dry", "version": "1"})
    assert (clash.status_code, "Saar" in text(clash) or "Imke" in text(clash)) == (412, True)
    made.refresh_from_db()
    assert made.note == "wet"


def test_the_number_of_a_further_object_leads_to_its_entry() -> None:
    made = entry("Two casts", n_objects=2)
    assert saar().get(f"/entries/{made.number}b/")["Location"] == made.href
    assert saar().get("/entries/E-2099-1/").status_code == 404


# deciding


def test_a_gift_goes_from_offer_to_number_by_four_hands() -> None:
    cast = brought_in("offered", from_words="Marit Olde")
    assert saar().post(f"{cast.href}proposal/", {"way": "gift", "from": "Marit Olde"}).status_code == 302
    waiting = text(imke().get(f"{cast.href}accession/"))
    assert "Two things are missing before" in waiting
    assert "Saar Osei proposed it" in waiting
    page = tobias().get(f"{cast.href}decision/")
    assert "Marit Olde" in text(page)
    undecided = tobias().post(f"{cast.href}decision/", {"version": "1"})
    assert undecided.status_code == 422
    assert "Choose one of the two" in text(undecided)
    tobias().post(f"{cast.href}decision/", {"decision": "accepted", "minute": "Minute 4", "version": "1"})
    shown = text(imke().get(f"{cast.href}accession/"))
    assert "Tobias Wren decided" in shown
    assert "Gift of Marit Olde" in shown
    said = {"description": cast.description, "parts": "3", "title": "clear", "title_paper": "letter", "then": "label"}
    answer = imke().post(f"{cast.href}accession/", said | {"version": str(again(cast).version)})
    made = Accession.objects.get(cast=cast)
    assert (answer.status_code, answer["Location"]) == (302, f"/labels/?of={made.number}")


def test_the_accession_page_says_what_is_missing_and_writes_nothing() -> None:
    cast = brought_in(parts=None)
    page = text(imke().get(f"{cast.href}accession/"))
    assert "Two things are missing before" in page
    assert "How many parts came in?" in page
    answer = imke().post(f"{cast.href}accession/", {"description": cast.description, "version": "1"})
    assert answer.status_code == 422
    assert "The state of title. Unknown counts." in text(answer)
    assert not LedgerLine.objects.exists()
    answer = imke().post(
        f"{cast.href}accession/", {"description": "Cast", "parts": "4", "title": "unknown", "version": "1"}
    )
    assert answer.status_code == 302, text(answer)
    assert (again(cast).description, again(cast).n_parts) == ("Cast", 4)


def test_a_second_press_finds_the_number_there() -> None:
    cast = brought_in()
    said = {"description": "Cast", "title": "unknown", "version": "1", "key": "k" * 20}
    client = imke()
    first, second = client.post(f"{cast.href}accession/", said), client.post(f"{cast.href}accession/", said)
    assert first["Location"] == second["Location"] == f"/casts/{today().year}.1/"
    assert LedgerLine.objects.count() == 2
    assert client.get(f"/casts/E-{today().year}-1/accession/").status_code == 302


def test_a_decision_from_elsewhere_is_written_with_the_number() -> None:
    cast = brought_in("offered", from_words="Marit Olde")
    said = {
        "description": "Cast",
        "parts": "3",
        "title": "clear",
        "way": "gift",
        "decided": "Tobias Wren",
        "version": "1",
    }
    answer = imke().post(f"{cast.href}accession/", said)
    assert (answer.status_code, "Write the minute or letter" in text(answer)) == (422, True)
    assert not Acquisition.objects.exists()
    said |= {"decided_on": today().isoformat(), "minute": "Minute 4"}
    assert imke().post(f"{cast.href}accession/", said).status_code == 302


def test_all_objects_are_numbered_in_one_press() -> None:
    made = entry("Two casts", n_objects=2)
    for thing in made.objects_of.all():
        thing.cast.__class__.objects.filter(pk=thing.cast_id).update(n_parts=1)
    page = imke().get(f"{made.href}accession/")
    assert "Write these lines and print the labels" in text(page)
    answer = imke().post(f"{made.href}accession/", {"title": "unknown", "then": "label"})
    year = today().year
    assert answer["Location"] == f"/labels/?of={year}.1%2C{year}.2"


def test_the_title_is_changed_by_who_proved_it_lately() -> None:
    made = numbered()
    href = f"/casts/{made.number}/title/new/"
    client = Client()
    builders.signed_in(client, "Imke Roodenburg")
    session = client.session
    session["account_authentication_methods"] = []
    session.save()
    assert client.post(href, {"state": "clear", "ground": "Receipt found"}).status_code == 403
    answer = imke().post(href, {"state": "clear", "ground": "Receipt found", "paper": "receipt of 1998, folder 3"})
    assert answer.status_code == 302, text(answer)
    assert Title.objects.filter(cast=made.cast).order_by("-pk").first().paper_words == "receipt of 1998, folder 3"
    assert LedgerLine.objects.filter(kind="title change").exists()


# ending


def test_it_goes_back_with_an_exit_note() -> None:
    cast = brought_in("offered", from_words="Marit Olde")
    assert "Marit Olde" in text(imke().get(f"{cast.href}give-back/"))
    empty = imke().post(f"{cast.href}give-back/", {"to": "", "reason": ""})
    assert empty.status_code == 422
    imke().post(f"{cast.href}give-back/", {"to": "Marit Olde", "reason": "not a nest"})
    note = Exit.objects.get()
    assert (note.number, note.to_words, note.n_parts) == (f"X-{today().year}-1", "Marit Olde", 3)
    assert again(cast).closed_as == "given back"
    assert "was given back" in text(imke().get(cast.href))


def test_the_other_endings() -> None:
    imke_ = imke()
    refused, taught, same, other = (brought_in("offered") for _ in range(4))
    imke_.post(f"{refused.href}refuse/", {"ground": "Not a nest", "to": "Marit Olde"})
    imke_.post(f"{taught.href}keep-for-teaching/", {"ground": "For classes"})
    wrong = imke_.post(f"{same.href}same-as/", {"same_as": "2099.1"})
    assert (wrong.status_code, "not a number of ours" in text(wrong)) == (422, True)
    imke_.post(f"{same.href}same-as/", {"same_as": other.number})
    assert [again(c).closed_as for c in (refused, taught, same)] == [
        "given back",
        "kept for teaching",
        "same as another",
    ]
    states = [again(c).entry_object.state for c in (refused, taught, same)]
    assert states == ["given back", "kept for teaching", "same as another"]
    assert same.number in text(imke_.get(other.href)), "its entry number is a former number now"


# the register


def test_the_register_reads_newest_first_and_is_checked_on_demand() -> None:
    made = numbered()
    page = text(builders.signed_in(Client(), "Lenno Haak").get("/register/"))
    assert page.index(f'href="/register/{made.line.n}/"') < page.index('href="/register/1/"')
    assert "have not been checked yet" in page
    answer = imke().post("/register/check/", follow=True)
    assert "All 2 lines stand." in text(answer)


def test_a_line_is_put_right_by_a_line() -> None:
    made = numbered()
    client = imke()
    assert "What the register says now" in text(client.get(f"/register/{made.line.n}/correction/"))
    answer = client.post(
        f"/register/{made.line.n}/correction/", {"field": "pieces", "is_right": "4", "ground": "counted"}
    )
    assert answer["Location"] == "/register/3/"
    assert "It puts" in text(client.get("/register/3/"))
    assert "Put right." in text(client.get("/register/2/"))
    assert tobias().get("/register/2/correction/").status_code == 403


def test_an_older_line_is_taken_over_by_its_page() -> None:
    said = {
        "number": "2011.3",
        "object": "Dune bee",
        "book": "Book 1",
        "date": "summer 2011",
        "sure": "yes",
        "title": "clear",
    }
    answer = imke().post("/register/transcribe/", said)
    assert answer["Location"] == "/casts/2011.3/", text(answer)
    assert Accession.objects.get().dated == "2011-22"
    again_ = imke().post("/register/transcribe/", said)
    assert (again_.status_code, "A number is never given twice" in text(again_)) == (422, True)
    answer = imke().post("/register/void/", {"number": f"{today().year}.1", "ground": "label found"})
    assert answer["Location"] == "/register/3/"


# who may


@pytest.mark.parametrize(
    ("deed", "may"),
    [
        ("proposal", {"Imke", "Tobias", "Saar", "Ottilie"}),
        ("decision", {"Tobias"}),
        ("accession", {"Imke"}),
        ("give-back", {"Imke"}),
        ("refuse", {"Imke"}),
        ("keep-for-teaching", {"Imke"}),
        ("same-as", {"Imke"}),
        ("title/new", {"Imke"}),
    ],
)
def test_each_deed_opens_to_whom_the_table_says(deed: str, may: set[str]) -> None:
    cast = brought_in("offered")
    actions.propose(builders.saar(), cast, CaseSaid("gift"))
    for name in builders.PEOPLE:
        status = builders.signed_in(Client(), name).get(f"{cast.href}{deed}/").status_code
        assert (status == 200) == (name.split()[0] in may), (name, status)
    assert Client().get(f"{cast.href}{deed}/")["Location"].startswith("/sign-in/")


# how it is counted


def _queries(client: Client, address: str) -> int:
    client.get(address)
    with CaptureQueriesContext(
        connection,
    ) as seen:
        assert client.get(address).status_code == 200
    return len(seen)


def test_no_list_asks_more_of_the_database_when_it_has_more_rows() -> None:
    client, addresses = (
        imke(),
        ("/entries/", "/register/", "/api/v1/entries/", "/api/v1/accessions/", "/api/v1/register/", "/casts/"),
    )
    for _ in range(10):
        numbered()
    brought_in("offered")
    actions.transcribe_line(builders.imke(), TranscribedSaid("2000.1", "Cast", "Book 1"))
    few = {a: _queries(client, a) for a in addresses}
    for n in range(12):
        numbered()
        brought_in("offered")
        actions.transcribe_line(builders.imke(), TranscribedSaid(f"2001.{n + 1}", "Cast", "Book 1"))
    many = {a: _queries(client, a) for a in addresses}
    assert many == few


def test_todays_work_asks_no_more_when_more_waits() -> None:
    from catalog.ground.asks import todays_work

    def asked() -> int:
        with CaptureQueriesContext(connection) as seen:
            todays_work(builders.actor())
        return len(seen)

    builders.imke()
    for _ in range(10):
        numbered()
        kept()
    few = asked()
    for _ in range(6):
        numbered()
        kept()
    assert asked() == few


def test_the_lists_go_out_as_spreadsheets() -> None:
    made = numbered()
    client = imke()
    for address in ("/entries/", "/register/"):
        for kind in ("csv", "xlsx", "json"):
            answer = client.get(address, {"format": kind})
            body = b"".join(answer.streaming_content) if answer.streaming else answer.content
            assert answer.status_code == 200
            assert len(body) > 50
    lines = b"".join(client.get("/register/", {"format": "csv"}).streaming_content).decode()
    assert made.number in lines


def test_lists_are_narrowed_with_counts() -> None:
    numbered()
    brought_in("offered")
    page = text(imke().get("/entries/", {"state": "entered"}))
    assert "E-" in page
    assert page.count('class="tag" href="/entries/') == 1
    assert text(imke().get("/register/", {"kind": "opening"})).count('data-h="Line"') == 1
    assert imke().get("/entries/", {"sort": "nonsense"}).status_code == 400


# what waits, what happened


def test_today_says_what_waits_and_for_whom() -> None:
    from catalog.ground.asks import todays_work

    builders.imke()  # today is the collection's: it must be there before it is asked
    old = entry("Old box", "offered", came_on=today() - timedelta(days=120))
    cast = brought_in("offered")
    actions.propose(builders.saar(), cast, CaseSaid("gift"))
    accepted, refused = kept(), brought_in("offered")
    actions.refuse(builders.imke(), refused, "Not a nest")
    made = numbered()

    def for_(actor: Any) -> dict[str, str]:
        found: dict[str, str] = {}
        for duty in todays_work(actor):
            found[duty.number] = f"{found.get(duty.number, '')}{duty.weight}: {duty.sentence} "
        return found

    mine, keepers = for_(builders.imke()), for_(builders.tobias())
    assert mine[old.number].startswith("late: ")
    assert "has waited 120 days" in mine[old.number]
    assert f"waits: {accepted.number} is accepted. Give it its number." in mine[accepted.number]
    assert "waits to go back" in mine[refused.number]
    assert "still lacks" in mine[made.number]
    assert f"waits: {cast.number} is proposed by Saar Osei. Keep it or refuse it." in keepers[cast.number]
    assert accepted.number not in keepers
    assert not for_(builders.lenno())


def test_the_past_of_a_cast_says_what_came_and_what_was_decided_in_order() -> None:
    from catalog.ground.asks import history_of

    friday = today() - timedelta(days=3)
    cast = kept(came_on=friday)
    made = actions.accession(builders.imke(), cast, AccessionSaid("clear", title_paper="letter of 3 March"))
    past = sorted(history_of(builders.imke(), again(cast)), key=lambda e: e.at)
    told = [e.sentence for e in past]
    came = next(e for e in past if e.sentence.startswith("Brought in as"))
    assert (came.at.date(), came.learnt_at is not None, came.who) == (friday, True, "Saar Osei")
    assert any("Proposed for the collection, as gift" in s for s in told)
    assert any("Accepted (Minute 4)" in s for s in told)
    assert any(f"Register line {made.line.n}: {made.number}" in s for s in told)
    assert any("Title is clear: letter of 3 March" in s for s in told)
    assert told.index(came.sentence) <= 1, "it came into our hands at the same hour"


def test_an_entry_number_leads_to_its_entry_whatever_became_of_it() -> None:
    from catalog.ground.asks import bearer_of

    made = numbered()
    entered_as = Entry.objects.get().number
    kinds = {b.kind: b.href for b in bearer_of(builders.imke(), entered_as.lower())}
    assert kinds["entry"] == f"/entries/{entered_as}/"
    assert imke().get(f"/casts/{entered_as}/")["Location"] == f"/casts/{made.number}/"


def test_the_state_of_a_cast_stands_in_the_list_and_in_the_answers() -> None:
    from catalog.casts.subject import facts

    made, waiting = numbered(), brought_in("offered")
    page = text(imke().get("/casts/", {"state": "accessioned"}))
    assert made.number in page
    assert waiting.number not in page
    known = {(pk, name): value for pk, name, value in facts(builders.imke(), [again(made.cast), waiting], None)}
    assert known[(made.cast.pk, "state")] == "accessioned"
    assert known[(waiting.pk, "state")] == "entered"
    assert known[(made.cast.pk, "line")] == made.line.n


def test_a_cast_shows_its_line_its_title_and_what_is_missing() -> None:
    made, waiting = numbered(), brought_in("offered", parts=None)
    page = text(imke().get(f"/casts/{made.number}/"))
    assert f'href="/register/{made.line.n}/"' in page
    assert "still lacks" in page
    page = text(imke().get(waiting.href))
    assert "Three things are missing before" in page
    assert DecisionSaid().decision == "accepted"
