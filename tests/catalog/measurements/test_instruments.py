"""Instruments: when a calibration holds, their pages, their API."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from catalog.ground.refusal import Refusal
from catalog.measurements import actions, reads
from catalog.measurements.models import Calibration, Instrument
from catalog.measurements.rules import DOUBT, IN_DATE, NONE, OVERDUE, CalibrationFacts, in_date
from tests import builders
from tests.catalog.measurements.makers_measurements import bal_2, key


def test_a_calibration_counts_from_its_day_until_it_is_due_or_the_instrument_fell() -> None:
    """2026-02-11, due a year on: the day itself counts, the day after not; from a fall on it is in doubt (common practice)."""
    cal = CalibrationFacts(date(2026, 2, 11), date(2027, 2, 11))
    fell = CalibrationFacts(date(2026, 6, 1), passed=False)
    assert in_date([cal], date(2027, 2, 11)) == IN_DATE
    assert in_date([cal], date(2027, 2, 12)) == OVERDUE
    assert in_date([cal, fell], date(2026, 5, 31)) == IN_DATE
    assert in_date([cal, fell], date(2026, 6, 1)) == DOUBT
    assert in_date([], date(2026, 6, 1)) == NONE
    assert in_date([cal], date(2026, 2, 10)) == NONE


@pytest.mark.django_db
def test_an_instrument_is_called_by_one_name() -> None:
    bal_2()
    with pytest.raises(Refusal, match="on record already"):
        actions.add_instrument(builders.saar(), "bal-2", "balance")
    with pytest.raises(Refusal, match="begins with a letter"):
        actions.add_instrument(builders.saar(), "2", "balance")


@pytest.mark.django_db
def test_what_the_balance_states_and_its_certificate_are_read_together() -> None:
    balance = reads.balance_of(bal_2(), date(2026, 6, 1))
    assert balance is not None
    assert (balance.d_g, balance.certificate_u_g, balance.k) == (Decimal("0.1"), Decimal("0.1"), 2)


@pytest.mark.django_db
def test_the_pages_of_instruments(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    typed = {"code": "Bal-3", "kind": "balance", "resolution": "0,1", "key": key()}
    assert client.post("/instruments/new/", typed).status_code == 302
    said = {"on": "2026-03-03", "outcome": "passed", "u": "0.1", "due_on": "2027-03-03", "key": key()}
    assert client.post("/instruments/Bal-3/calibration/", said).status_code == 302
    made = Calibration.objects.get()
    assert (made.instrument.code, made.k) == ("Bal-3", 2)
    assert "within what it states" in client.get("/instruments/bal-3/").content.decode()
    assert "Bal-3" in client.get("/instruments/").content.decode()
    wrong = client.post("/instruments/new/", {"code": "Bal-4", "kind": "balance", "resolution": "ten", "key": key()})
    assert wrong.status_code == 422
    assert "Write a bare figure" in wrong.content.decode()


@pytest.mark.django_db
def test_the_api_of_instruments(client: Any) -> None:
    builders.signed_in(client, "Saar Osei")
    said = {"code": "Bal-3", "kind": "balance", "resolution": "0.1"}
    sent = {"content_type": "application/json", "HTTP_IDEMPOTENCY_KEY": key()}
    answer = client.post("/api/v1/instruments/", json.dumps(said), **sent)
    assert answer.status_code == 201, answer.content
    assert answer.json()["in_date"] == "uncalibrated"
    patch = client.patch(
        "/api/v1/instruments/Bal-3/", json.dumps({"what": "bench"}), "application/json", HTTP_IF_MATCH='"v1"'
    )
    assert patch.status_code == 200
    cal = {"instrument": "Bal-3", "on": "2026-03-03", "u": "0.1"}
    sent["HTTP_IDEMPOTENCY_KEY"] = key()
    assert client.post("/api/v1/calibrations/", json.dumps(cal), **sent).status_code == 201
    assert Instrument.objects.get().what == "bench"


@pytest.mark.django_db
def test_the_list_of_instruments_asks_the_same_however_many(client: Any, django_assert_num_queries: Any) -> None:
    from tests.registry.places.makers_places import asked

    builders.signed_in(client)
    bal_2()
    few = asked(client, "/instruments/"), asked(client, "/api/v1/instruments/")
    for n in range(12):
        actions.add_instrument(builders.saar(), f"Cal-{n}", "calliper")
    assert (asked(client, "/instruments/"), asked(client, "/api/v1/instruments/")) == few
