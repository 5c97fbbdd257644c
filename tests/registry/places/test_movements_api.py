"""Moving by the API: once under one key, each wrong member named, read as of an instant."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from catalog.casts.subject import Subject
from catalog.people.models import Person
from registry.condition.actions import restrict
from registry.condition.said import RestrictionSaid
from registry.places import actions
from registry.places.models import Movement, Place, Placement
from tests import builders
from tests.registry.places.makers_places import carry, key, put, tree

pytestmark = pytest.mark.django_db
MOVES = "/api/v1/movements/"


def send(client: Any, body: dict[str, Any], *, under: str = "", to: str = MOVES) -> Any:
    headers = {"Idempotency-Key": under or key()}
    return client.post(to, body, content_type="application/json", headers=headers)


def test_the_smallest_movement_is_taken(client: Any) -> None:
    places, cast = tree(), builders.cast()
    builders.signed_in(client, "Saar Osei")
    done = send(client, {"what": "2016.1", "to": "K-12"})
    assert done.status_code == 201, done.content
    said = done.json()
    assert (said["what"], said["kind"], said["from"], said["to"], said["by"]) == (
        "2016.1",
        "cast",
        None,
        "K-12",
        "Saar Osei",
    )
    assert said["says"] == "2016.1 is now in K-12."
    assert client.get(done["Location"]).json()["uid"] == said["uid"]
    assert Placement.objects.get(cast=cast).place == places["K-12"]


def test_a_doubled_key_moves_once(client: Any) -> None:
    tree(), builders.cast()
    builders.signed_in(client, "Saar Osei")
    body = {"what": "2016.1", "to": "K-12", "because": "packed"}
    first, second = send(client, body, under="moved-once-only-1"), send(client, body, under="moved-once-only-1")
    assert (first.status_code, second.status_code, second["Kept-Answer"]) == (201, 201, "true")
    assert first.json() == second.json()
    assert Movement.objects.count() == 1
    other = send(client, body | {"to": "H"}, under="moved-once-only-1")
    assert other.status_code == 422
    assert client.post(MOVES, body, content_type="application/json").status_code == 400


def test_a_piece_and_a_crate_are_moved_by_their_numbers(client: Any) -> None:
    places, cast = tree(), builders.cast()
    builders.piece(cast, "3")
    put(cast, places["K-12"], days_ago=1)
    builders.signed_in(client, "Saar Osei")
    assert send(client, {"what": "th 2016 1 3", "to": "H"}).json()["kind"] == "piece"
    crate = send(client, {"what": "HTTPS://TARNHOLM.EXAMPLE/Q/K-12", "to": "Bay A, Shelf 3"}).json()
    assert (crate["kind"], crate["from"], crate["to"]) == ("container", "B-3", "A-3")
    assert Place.objects.get(code="K-12").parent == places["A-3"]


def test_by_whom_and_when_are_said_apart_from_who_writes(client: Any) -> None:
    tree(), builders.cast()
    ottilie = Person.objects.get(pk=builders.ottilie().person_id)
    at = (timezone.now() - timedelta(days=3)).replace(microsecond=0)
    builders.signed_in(client, "Saar Osei")
    body = {"what": "2016.1", "to": "K-12", "by": "ottilie brandt", "at": at.isoformat(), "back_on": "2099-01-01"}
    said = send(client, body).json()
    assert (said["by"], said["written_by"], said["back_on"]) == ("Ottilie Brandt", "Saar Osei", "2099-01-01")
    assert Movement.objects.get().at == at
    again = {"what": "2016.1", "to": "H", "by": str(ottilie.uid)}
    assert send(client, again).json()["by"] == "Ottilie Brandt"


@pytest.mark.parametrize(
    "wrong, pointer, sentence",
    [
        ({"what": "2099.9"}, "/what", "not a number of ours"),
        ({"what": "B-3"}, "/what", "B-3 is not a container: it does not move"),
        ({"to": "Z-9"}, "/to", "not a place of ours"),
        ({"to": "Shelf 3"}, "/to", "Two places are called Shelf 3. Write A-3 or B-3."),
        ({"by": "Nobody at all"}, "/by", "not one person on record here"),
        ({"at": "2099-01-01T00:00:00Z"}, "/at", "has not happened"),
        ({"at": "yesterday"}, "/at", ""),
        ({"back_on": "2001-01-01"}, "/back_on", "due back before"),
        ({"because": "x" * 301}, "/because", ""),
        ({"becuase": "typing"}, "/becuase", "There is no 'becuase' here"),
        ({"what": '"🐚\'; DROP TABLE"'}, "/what", "not a number of ours"),
    ],
)
def test_what_is_wrong_is_named_and_nothing_is_written(
    client: Any, wrong: dict[str, Any], pointer: str, sentence: str
) -> None:
    tree(), builders.cast()
    builders.signed_in(client, "Saar Osei")
    answer = send(client, {"what": "2016.1", "to": "K-12"} | wrong)
    assert answer.status_code == 422, answer.content
    said = answer.json()["errors"]
    assert [e["pointer"] for e in said] == [pointer]
    assert sentence in said[0]["detail"]
    assert not Movement.objects.exists()


def test_a_crate_does_not_go_into_itself(client: Any) -> None:
    places = tree()
    carry(places["T-7"], places["K-12"])
    builders.signed_in(client, "Saar Osei")
    answer = send(client, {"what": "K-12", "to": "T-7"})
    assert answer.status_code == 422
    assert answer.json()["errors"][0] == {
        "pointer": "/to",
        "detail": "K-12 cannot go into itself: T-7 stands in it.",
        "said": "T-7",
    }


def test_what_is_barred_is_refused_alone_and_in_its_crate(client: Any) -> None:
    places, cast = tree(), builders.cast("2019.3")
    put(cast, places["K-12"])
    builders.tobias()
    restrict(builders.ottilie(), Subject(cast), RestrictionSaid("move", "it is softened by heat"))
    builders.signed_in(client, "Saar Osei")
    for what in ("2019.3", "K-12"):
        answer = send(client, {"what": what, "to": "H"})
        assert answer.status_code == 409
        assert "2019.3 cannot be moved: it is softened by heat, since " in answer.json()["detail"]
        assert answer.json()["detail"].endswith("Tobias Wren may lift it.")
        assert answer.json()["errors"][0]["remedy"] == "/casts/2019.3/"
    assert Movement.objects.count() == 1


def test_what_a_phone_kept_without_signal_happened_when_it_was_kept(client: Any) -> None:
    tree(), builders.cast(), builders.cast("2016.2")
    builders.signed_in(client, "Saar Osei")
    kept = (timezone.now() - timedelta(hours=3)).replace(microsecond=0)
    form = {"what": "2016.1", "to": "K-12", "by": str(builders.saar().person_id), "made_at": kept.isoformat()}
    answer = client.post(MOVES, form, headers={"Idempotency-Key": key()})  # multipart, as the outbox sends it
    assert answer.status_code == 201, answer.content
    assert Movement.objects.get().at == kept
    fast = (timezone.now() + timedelta(hours=1)).isoformat()
    ahead = client.post(MOVES, form | {"what": "2016.2", "made_at": fast}, headers={"Idempotency-Key": key()})
    assert ahead.status_code == 201
    assert Movement.objects.latest("pk").at <= timezone.now()


def test_who_may_not_move_is_told_who_may(client: Any) -> None:
    tree(), builders.cast()
    builders.signed_in(client, "Lenno Haak")
    answer = send(client, {"what": "2016.1", "to": "K-12"})
    assert answer.status_code == 403
    assert "Only a registrar, the keeper, a technician, a preparator may do this" in answer.json()["detail"].replace(
        " or a preparator", ", a preparator"
    )
    client.logout()
    assert send(client, {"what": "2016.1", "to": "K-12"}).status_code == 401


def test_movements_are_listed_by_place_person_and_day(client: Any) -> None:
    places = tree()
    for n in (1, 2):
        put(builders.cast(f"2016.{n}"), places["K-12"], days_ago=9, by=Person.objects.get(name="Imke Roodenburg"))
    carry(places["K-12"], places["H"], because="open day")
    builders.signed_in(client, "Lenno Haak")

    def whats(query: str) -> list[str]:
        answer = client.get(f"{MOVES}?{query}")
        assert answer.status_code == 200, answer.content
        return [m["what"] for m in answer.json()["items"]]

    assert whats("") == ["K-12", "2016.2", "2016.1"]
    assert whats("place=H") == ["K-12"]
    assert whats("place=ST&sort=at") == ["K-12"]  # the crate left the store; what was put in it went with it
    assert whats("place=K-12") == ["2016.2", "2016.1"]
    assert whats("who=Imke Roodenburg") == ["2016.2", "2016.1"]
    assert whats(f"since={timezone.now().date() - timedelta(days=2)}") == ["K-12"]
    assert whats("q=open") == ["K-12"]
    assert whats("what=2016.2") == ["2016.2"]
    assert client.get(f"{MOVES}?plcae=H").status_code == 400


def test_placements_are_read_now_and_at_an_instant(client: Any) -> None:
    places, cast = tree(), builders.cast()
    put(cast, places["B-3"], days_ago=9)
    put(cast, places["H"], days_ago=1)
    builders.signed_in(client, "Lenno Haak")
    now = client.get("/api/v1/placements/2016.1/").json()
    assert (now["place"], now["path"], now["home"]) == ("H", ["TH", "H"], "B-3")
    at = (timezone.now() - timedelta(days=5)).strftime("%Y-%m-%dT%H:%M:%SZ")
    then = client.get(f"/api/v1/placements/?at={at}").json()["items"][0]
    assert (then["place"], then["path"], then["since"]) == ("B-3", ["TH", "ST", "B", "B-3"], None)
    assert client.get("/api/v1/placements/?within=H").json()["count"] == 1
    assert client.get("/api/v1/placements/?at=monday").status_code == 400
    assert client.get(f"/api/v1/placements/?at={at}&within=H").status_code == 400


def test_places_are_made_and_changed_with_the_version_seen(client: Any) -> None:
    tree()
    builders.signed_in(client, "Saar Osei")
    made = send(
        client, {"code": "b-4", "name": "Shelf 4", "kind": "shelf", "parent": "B", "holds_kg": 40}, to="/api/v1/places/"
    )
    assert made.status_code == 201, made.content
    assert (made.json()["code"], made.json()["path"], made.json()["movable"]) == (
        "B-4",
        ["TH", "ST", "B", "B-4"],
        False,
    )
    address, sent = made["Location"], {"content_type": "application/json"}
    assert client.patch(address, {"note": "dry"}, **sent).status_code == 428
    done = client.patch(address, {"note": "dry", "parent": "A"}, headers={"If-Match": made["ETag"]}, **sent)
    assert (done.status_code, done.json()["path"][-2], done["ETag"]) == (200, "A", '"v2"')
    stale = client.patch(address, {"note": "damp"}, headers={"If-Match": made["ETag"]}, **sent)
    assert (stale.status_code, stale.json()["now"]["note"]) == (412, "dry")
    crate = client.patch(
        "/api/v1/places/k-12/",
        {"parent": "H"},
        headers={"If-Match": client.get("/api/v1/places/K-12/")["ETag"]},
        **sent,
    )
    assert (crate.status_code, crate.json()["errors"][0]["pointer"]) == (422, "/parent")
    for wrong, pointer in (({"code": "7"}, "/code"), ({"kind": "cupboard"}, "/kind"), ({"parent": "Z"}, "/parent")):
        answer = send(client, {"code": "B-5", "name": "Shelf 5", "kind": "shelf"} | wrong, to="/api/v1/places/")
        assert (answer.status_code, answer.json()["errors"][0]["pointer"]) == (422, pointer)
    within = [p["code"] for p in client.get("/api/v1/places/?within=B&movable=true").json()["items"]]
    assert within == ["K-12"]


def test_the_list_of_casts_is_narrowed_by_a_place_at_any_depth(client: Any) -> None:
    places = tree()
    put(builders.cast("2016.1"), places["K-12"])
    put(builders.cast("2016.2"), places["H"])
    builders.cast("2016.3")
    builders.signed_in(client, "Lenno Haak")

    def numbers(query: str) -> list[str]:
        return [c["number"] for c in client.get(f"/api/v1/casts/?{query}").json()["items"]]

    assert numbers("within=ST") == ["2016.1"]
    assert numbers("within=th") == ["2016.1", "2016.2"]
    assert numbers("place=K-12,H") == ["2016.1", "2016.2"]
    assert numbers("within=Z-9") == []
    assert client.get("/api/v1/casts/2016.1/").json()["place_path"] == ["TH", "ST", "B", "B-3", "K-12"]
    actions.take_custody(builders.imke(), Movement.objects.first().cast)
    assert numbers("holder=us") == ["2016.1"]
