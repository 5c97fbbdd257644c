"""I cannot find it, and found again."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from catalog.casts.subject import Subject, what_hinders, what_hinders_any
from catalog.ground.asks import todays_work
from catalog.ground.collection import today
from catalog.ground.refusal import Refusal
from registry.condition.actions import report_found, report_missing, take_back_incident
from registry.condition.models import Incident
from registry.condition.said import FoundSaid, IncidentSaid
from registry.places.reads import place_now
from tests import builders
from tests.registry.condition.makers_incidents import shrimp
from tests.registry.places.makers_places import put, tree

pytestmark = pytest.mark.django_db
SEARCHED = IncidentSaid(searched="K-12, Lenno, Monday")


def test_what_cannot_be_found_is_not_lent_and_today_keeps_asking() -> None:
    places = tree()
    cast, piece = shrimp()
    put(cast, places["K-12"], days_ago=9)
    search = report_missing(builders.lenno(), Subject(cast, piece), SEARCHED)
    piece.refresh_from_db()
    assert piece.missing_since == today()
    (reason,) = what_hinders(Subject(cast, piece), "lend")
    assert reason.sentence.startswith("2016.1.4 cannot be lent: it is missing since ")
    assert "Last seen in K-12" in reason.sentence
    assert what_hinders(Subject(cast), "mount")[0].sentence.startswith("2016.1.4 cannot be mounted")
    assert what_hinders(Subject(cast, builders.piece(cast, "5")), "lend") == []
    assert what_hinders_any([Subject(cast)], "lend")
    for reader in (builders.lenno(), builders.imke()):
        assert [d.href for d in todays_work(reader) if "missing" in d.sentence] == [f"{search.href}found/"]


def test_found_again_it_is_where_it_was_found() -> None:
    places = tree()
    cast, piece = shrimp()
    put(cast, places["K-12"], days_ago=9)
    search = report_missing(builders.saar(), Subject(cast, piece), SEARCHED)
    found = report_found(builders.saar(), search.pk, FoundSaid(IncidentSaid(), "its mark and its mass", places["B-3"]))
    piece.refresh_from_db()
    assert piece.missing_since is None
    assert (found.kind, found.finds) == ("found", search)
    assert "its mark and its mass" in found.note
    assert place_now(Subject(cast, piece)) == places["B-3"]
    assert what_hinders(Subject(cast, piece), "lend") == []
    assert not [d for d in todays_work(builders.saar()) if "missing" in d.sentence]
    with pytest.raises(Refusal, match="Nobody is looking for it"):
        report_found(builders.saar(), search.pk, FoundSaid(IncidentSaid(), "again"))


def test_one_search_at_a_time_and_how_it_is_known_is_asked() -> None:
    cast, piece = shrimp()
    search = report_missing(builders.saar(), Subject(cast, piece), SEARCHED)
    with pytest.raises(Refusal, match=r"2016\.1\.4 is looked for since"):
        report_missing(builders.saar(), Subject(cast, piece), SEARCHED)
    with pytest.raises(Refusal, match="Write how you know that it is this one"):
        report_found(builders.saar(), search.pk, FoundSaid(IncidentSaid()))
    early = IncidentSaid(noticed_on=today() - timedelta(days=2))
    with pytest.raises(Refusal, match="not missing yet"):
        report_found(builders.saar(), search.pk, FoundSaid(early, "its mark"))
    assert Incident.objects.count() == 1


def test_a_search_recorded_wrongly_is_taken_back_and_a_find_too() -> None:
    cast, piece = shrimp()
    search = report_missing(builders.saar(), Subject(cast, piece), SEARCHED)
    found = report_found(builders.saar(), search.pk, FoundSaid(IncidentSaid(), "its mark"))
    with pytest.raises(Refusal, match="it was found again"):
        take_back_incident(builders.saar(), search.pk, "it was there")
    take_back_incident(builders.saar(), found.pk, "it was another piece")
    piece.refresh_from_db()
    assert piece.missing_since == search.noticed_on
    assert what_hinders(Subject(cast, piece), "lend")
    take_back_incident(builders.saar(), search.pk, "it was there")
    piece.refresh_from_db()
    assert piece.missing_since is None


def test_the_pages_ask_where_it_was_looked_for_and_lead_on(client: Any) -> None:
    cast, piece = shrimp()
    builders.signed_in(client, "Lenno Haak")
    assert f"{piece.href}missing/" in client.get(piece.href).content.decode()
    empty = client.post(f"{piece.href}missing/", {})
    assert empty.status_code == 422
    assert "Write where it was looked for" in empty.content.decode()
    done = client.post(f"{piece.href}missing/", {"searched": "shelf 3"})
    search = Incident.objects.get()
    assert (done.status_code, done["Location"]) == (302, search.href)
    page = client.get(piece.href).content.decode()
    assert f"{search.href}found/" in page
    assert "I cannot find it" not in page
    assert "2016.1.4 is missing since" in client.get(cast.href).content.decode()
    found = client.post(f"{search.href}found/", {"known_by": "its mark"})
    assert found.status_code == 302
    assert client.get(found["Location"]).status_code == 200


def test_the_api_reports_missing_and_found(client: Any) -> None:
    shrimp()
    builders.signed_in(client, "Saar Osei")

    def send(body: dict[str, Any], key: str) -> Any:
        return client.post(
            "/api/v1/incidents/", body, content_type="application/json", headers={"Idempotency-Key": key}
        )

    missing = send({"kind": "missing", "of": "2016.1.4", "searched": "shelf 3"}, "search-for-it-0001")
    assert (missing.status_code, missing.json()["says"]) == (201, "2016.1.4 is missing")
    found = send({"kind": "found", "of": "2016.1.4", "known_by": "its mark"}, "found-it-again-0001")
    assert found.status_code == 201
    assert found.json()["finds"] == missing.json()["number"]
    nobody = send({"kind": "found", "of": "2016.1.4", "known_by": "its mark"}, "found-it-again-0002")
    assert nobody.status_code == 404
    listed = client.get("/api/v1/incidents/?kind=missing").json()
    assert [i["found_by"] for i in listed["items"]] == [found.json()["number"]]
