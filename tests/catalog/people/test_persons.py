"""People and bodies on record: put there, changed, found; how to reach them is for two roles only."""

from __future__ import annotations

from typing import Any

import pytest

from catalog.ground import search
from catalog.ground.refusal import NotAllowed, NotFound, Refusal, Stale
from catalog.people import actions, reads
from catalog.people.models import Contact, Person
from catalog.people.said import ContactSaid, PersonSaid
from tests import builders
from tests.catalog.people.makers_people import key_on, opened

pytestmark = pytest.mark.django_db
JONNA = PersonSaid("Jonna Beck", does="botanist", town="Hesselmond", orcid="0000-0002-1825-0097")


def test_a_person_is_on_record_and_findable() -> None:
    person = actions.add_person(builders.saar(), JONNA)
    assert person.orcid == "https://orcid.org/0000-0002-1825-0097"
    assert [e.href for e in search.find("jona beck")] == [f"/people/{person.pk}/"]
    assert reads.person_named("jonna  BECK") == person


def test_two_of_one_name_are_not_taken_for_one() -> None:
    for _ in range(2):
        actions.add_person(builders.saar(), JONNA)
    assert reads.person_named("Jonna Beck") is None


@pytest.mark.parametrize(
    "said, field",
    [
        (PersonSaid(""), "name"),
        (PersonSaid("---"), "name"),
        (PersonSaid("Jonna\x00Beck"), "name"),
        (PersonSaid("J" * 151), "name"),
        (PersonSaid("Jonna Beck", orcid="0000-0002-1825-0098"), "orcid"),
        (PersonSaid("Jonna Beck", kind="body", orcid="0000-0002-1825-0097"), "orcid"),
        (PersonSaid("Jonna Beck", ror="05dxps055"), "ror"),
        (PersonSaid("Museum of the Low Shore", kind="museum"), "kind"),
    ],
)
def test_what_is_wrong_of_a_person_names_its_field(said: PersonSaid, field: str) -> None:
    with pytest.raises(Refusal) as refused:
        actions.add_person(builders.saar(), said)
    assert field in {r.field for r in refused.value.reasons}
    assert not Person.objects.filter(kind="body").exists()


@pytest.mark.parametrize("name", ["O'Brien \"Bee\" D'Arcy", "Łucja Żółć", "Ana 🐝 Ferreira", "李 小龙", "نور الدين"])
def test_names_are_kept_as_they_are_written(client: Any, name: str) -> None:
    builders.signed_in(client)
    answer = client.post("/people/new/", {"kind": "person", "name": name, "may_be_named": "no"})
    person = Person.objects.get(name=name)
    assert answer["Location"] == f"/people/{person.pk}/"
    assert client.get(answer["Location"]).status_code == 200


def test_the_second_to_save_is_shown_the_first(client: Any) -> None:
    person = actions.add_person(builders.imke(), JONNA)
    actions.change_person(builders.tobias(), person.pk, PersonSaid("Jonna Becker"), expected_version=1)
    with pytest.raises(Stale):
        actions.change_person(builders.imke(), person.pk, PersonSaid("Jonna Bek"), expected_version=1)
    builders.signed_in(client)
    said = {"kind": "person", "name": "Jonna Bek", "may_be_named": "no", "version": "1", "key": "k" * 20}
    assert client.post(f"/people/{person.pk}/change/", said).status_code == 412


def test_how_to_reach_them_is_for_registrar_and_keeper(client: Any) -> None:
    person = actions.add_person(builders.imke(), JONNA)
    actions.keep_contact(builders.imke(), person.pk, ContactSaid("jonna@elsewhere.example", "+31 20 5550100"))
    with pytest.raises(NotAllowed):
        actions.keep_contact(builders.saar(), person.pk, ContactSaid("x@elsewhere.example"))
    for name, sees in (("Imke Roodenburg", True), ("Tobias Wren", True), ("Saar Osei", False), ("Lenno Haak", False)):
        builders.signed_in(client, name)
        page = client.get(f"/people/{person.pk}/").content.decode()
        assert ("jonna@elsewhere.example" in page) is sees, name
        form = client.get(f"/people/{person.pk}/change/")
        assert (b"jonna@elsewhere.example" in form.content) is sees
        listed = client.get("/api/v1/people/").json()["items"]
        assert (any("contact" in item for item in listed)) is sees
        client.logout()
    assert not search.find("jonna@elsewhere.example") or search.find("elsewhere.example") == []


def test_a_form_without_the_contact_leaves_it_as_it_is(client: Any) -> None:
    person = actions.add_person(builders.imke(), JONNA)
    actions.keep_contact(builders.imke(), person.pk, ContactSaid("jonna@elsewhere.example"))
    builders.signed_in(client, "Saar Osei")
    said = {"kind": "person", "name": "Jonna Becker", "may_be_named": "no", "email": "", "version": "1"}
    assert client.post(f"/people/{person.pk}/change/", said).status_code == 302
    assert Contact.objects.get().email == "jonna@elsewhere.example"
    assert Person.objects.get(pk=person.pk).name == "Jonna Becker"


def test_a_contact_that_is_taken_out_is_gone(client: Any) -> None:
    person = actions.add_person(builders.imke(), JONNA)
    actions.keep_contact(builders.imke(), person.pk, ContactSaid("jonna@elsewhere.example"))
    builders.signed_in(client)
    said = {
        "kind": "person",
        "name": "Jonna Beck",
        "may_be_named": "no",
        "email": "",
        "version": "1",
        "contact_version": "1",
    }
    assert client.post(f"/people/{person.pk}/change/", said).status_code == 302
    assert Contact.objects.get().email == ""


def test_what_changed_stands_in_the_history() -> None:
    from catalog.ground.asks import history_of

    imke = builders.imke()
    person = actions.add_person(imke, JONNA)
    actions.change_person(builders.tobias(), person.pk, PersonSaid("Jonna Beck", town="Fennevik", does="botanist"))
    newest, oldest = history_of(imke, person)
    assert newest.who == "Tobias Wren"
    assert ("town", "Hesselmond", "Fennevik") in newest.changes
    assert (oldest.who, oldest.sentence) == ("Imke Roodenburg", "Put on record.")


def test_a_double_press_is_one_person(client: Any) -> None:
    builders.signed_in(client)
    said = {"kind": "person", "name": "Jonna Beck", "may_be_named": "no", "key": key_on(client.get("/people/new/"))}
    first, second = (client.post("/people/new/", said) for _ in range(2))
    assert first["Location"] == second["Location"]
    assert Person.objects.filter(name="Jonna Beck").count() == 1


def test_who_is_signed_out_is_sent_to_sign_in_whether_the_person_exists(client: Any) -> None:
    person = actions.add_person(builders.imke(), JONNA)
    for pk in (person.pk, 99_999):
        assert client.get(f"/people/{pk}/")["Location"] == f"/sign-in/?next=%2Fpeople%2F{pk}%2F"


def test_us_is_our_own_body() -> None:
    with pytest.raises(NotFound, match="no name yet"):
        reads.us()
    opened()
    assert reads.us().name == "Tarn Holm dune and marsh station"


# lists


def many(n: int) -> None:
    for i in range(n):
        builders.account(f"Helper {Person.objects.count()} {i}", "technician")


@pytest.mark.parametrize("address", ["/people/", "/api/v1/people/"])
def test_more_people_make_no_more_queries(client: Any, address: str) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    builders.signed_in(client)
    counts = []
    for more in (3, 27):
        many(more)
        client.get(address)
        with CaptureQueriesContext(
            connection,
        ) as seen:
            assert client.get(address).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_the_list_narrows_and_its_export_has_exactly_its_rows(client: Any) -> None:
    imke = opened()
    actions.add_person(imke, PersonSaid("Museum of the Low Shore", kind="body", town="Hesselmond"))
    actions.add_person(imke, JONNA)
    builders.signed_in(client)
    page = client.get("/people/", {"kind": "body"}).content.decode()
    assert "Museum of the Low Shore" in page
    assert "Jonna Beck" not in page
    rows = b"".join(client.get("/people/", {"kind": "body", "format": "csv"}).streaming_content).decode()
    assert len(rows.strip().splitlines()) == 3  # the head, the museum, us
    assert "Jonna" in client.get("/people/", {"q": "botanist"}).content.decode()


def test_the_api_shows_a_person_by_id_and_by_uid(client: Any) -> None:
    person = actions.add_person(builders.imke(), JONNA)
    builders.signed_in(client)
    by_id = client.get(f"/api/v1/people/{person.pk}/")
    assert by_id["ETag"] == '"v1"'
    assert by_id.json()["name"] == "Jonna Beck"
    assert client.get(f"/api/v1/people/{person.uid}/").json() == by_id.json()
    assert client.get("/api/v1/people/", {"kind": "person", "q": "jonna"}).json()["count"] == 1
    assert client.get("/api/v1/people/", {"shoe_size": "42"}).status_code == 400
    assert client.get("/api/v1/people/nobody/").status_code == 404
    assert client.post("/api/v1/people/", {}).status_code == 405


def test_the_api_tells_strangers_nothing(client: Any) -> None:
    builders.imke()
    assert client.get("/api/v1/people/").status_code == 401
