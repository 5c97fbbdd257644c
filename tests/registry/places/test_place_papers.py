"""The slip in the empty place and the list of a planned move, read by another program than the one that sets them (pdfplumber)."""

from __future__ import annotations

import io
import unicodedata
from typing import Any

import pdfplumber
import pytest

from catalog.ground.collection import today
from catalog.ground.models import Paper
from tests import builders
from tests.registry.places.makers_places import put, tree

pytestmark = pytest.mark.django_db


def read(answer: Any) -> str:
    """The text of a PDF without white space."""
    assert answer.status_code == 200, answer.content
    assert answer["Content-Type"] == "application/pdf"
    with pdfplumber.open(io.BytesIO(answer.content)) as pdf:
        text = "".join(page.extract_text() for page in pdf.pages)
    return "".join(unicodedata.normalize("NFKC", text).split())


def test_a_removal_slip_says_what_went_where_and_until_when(client: Any) -> None:
    places = tree()
    cast = builders.cast(year=2016)
    put(cast, places["B-3"], days_ago=3)
    moved = put(cast, places["H"], because="photographs", back_on=today())
    builders.signed_in(client, "Saar Osei")
    address = f"/movements/{moved.pk}/papers/removal-slip.pdf"
    text = read(client.get(address))
    for said in ("TH2016.1", "ItwenttoStairhall", "TarnHolmstation,Store,BayB,Shelf3", "ImkeRoodenburg", "photographs"):
        assert said in text
    again = client.get(address)
    assert again.content == bytes(Paper.objects.get(kind="removal-slip").body)
    builders.signed_in(client, "Lenno Haak")
    assert client.get("/movements/99999/papers/removal-slip.pdf").status_code == 404


def test_a_movement_list_names_what_goes_its_mass_and_its_way(client: Any) -> None:
    places = tree()
    put(builders.cast("2016.1", mass_g=2841, year=2016), places["B-3"])
    put(builders.cast("2011.3", fragile=True, handling="Four people.", year=2011), places["B-3"])
    put(builders.cast("2016.2", mass_g=1200, n_parts=4, year=2016), places["K-12"])
    builders.signed_in(client, "Saar Osei")
    text = read(client.get("/movements/papers/movement-list.pdf?of=B-3&to=H&because=open day&led_by=Ottilie Brandt"))
    for said in (
        "ThreethingsgotoHinthisorder.",
        "TH2016.1",
        "2.841kg",
        "K-12",
        "Crate12,with4pieces",
        "notweighed",
        "3things,4.041kgweighed,1notweighed",
        "2011.3:Fourpeople.",
        "openday",
        "OttilieBrandt",
    ):
        assert said in text, said
    assert "TH2016.2" not in text  # it goes in its crate
    nothing = client.get("/movements/papers/movement-list.pdf?to=H")
    assert (nothing.status_code, "Name from one to 500 things" in nothing.content.decode()) == (422, True)
    assert client.get("/movements/papers/movement-list.pdf?of=B-3&to=Z").status_code == 422
