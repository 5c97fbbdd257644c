"""Texts for visitors: coordinates in every form a field book uses, and names of places and people, are found in them.

The written forms of one point are those of `computations-record` tests of coordinates (from memory of field practice);
that the story's other figures pass is what these tests hold beside it.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from catalog.publishing.betrayals import coordinates_in, named_in, names_in_words
from catalog.publishing.rules import day_shown

TENTH = Decimal("0.1")


@pytest.mark.parametrize(
    "text",
    [
        "Dug at 54.3556, 5.2083 in May.",
        "Dug at 54,3556 N 5,2083 E in May.",
        "54°21'20\"N 5°12'30\"E",
        "at 54° 21.300' N 5° 12.400' E, by the creek",
        "at N 54 21 20 E 5 12 30.",
        "north 54.355, east 5.208",
        "lat 54.355 lon 5.208",
        "31U 643512 6025123",
        "see 31UFV4351225123",
        "https://maps.example/?q=54.355,5.208&z=14",
        "geo:54.355,5.208",
        "(54.355/5.208)",
        "latitude 54.35567 somewhere; longitude elsewhere",
        "５４.３５５６７ in wide figures",
        "54° 21 minutes north",
    ],
)
def test_a_position_is_found_in_whatever_form(text: str) -> None:
    assert coordinates_in(text, TENTH)


@pytest.mark.parametrize(
    "text",
    [
        "In 2011 we poured plaster into 27 shafts, 62 cm deep; 203 of 212 pieces are joined.",
        "Mass 46.2 ± 0.5 kg, 48 by 31 by 12 cm, poured on 9.5.2011 at 18 °C.",
        "From 3.5 to 12.5 cm; pieces 3, 12 and 19; 1:5.",
        "TH 2016.1, CC BY 4.0, shelf B-3, crate K-12, lot Z-4.",
        "It pumps water through it with its tail, and the two mouths let it breathe.",
        "About 54 N 5 E, that is the whole coast.",
    ],
)
def test_a_story_with_figures_passes(text: str) -> None:
    assert coordinates_in(text, TENTH) == ""


def test_what_is_no_finer_than_the_cell_passes() -> None:
    assert coordinates_in("54.35 N 5.21 E", Decimal("0.1"))
    assert coordinates_in("54.35 N 5.21 E", Decimal("0.01")) == ""


@pytest.mark.parametrize(
    "text",
    ["at North Creek.", "NORTH CREEK'S mud", "north-creek", "North\u00a0Creek", "the Nórth  Creek", "#NorthCreek"],
)
def test_a_name_is_found_however_it_is_written(text: str) -> None:
    assert named_in(text, ["North Creek", "High Dune"]) == ["North Creek"]


def test_a_name_is_not_found_in_other_words() -> None:
    assert named_in("a creek in the north, high on the dune; across", ["North Creek", "High Dune", "Oss"]) == []


def test_names_are_read_off_what_was_said_of_a_place() -> None:
    found = names_in_words("Behind Olde Farm, by the dyke. Path from Marram Gate, past Ostermeer")
    assert found == ["Behind Olde Farm", "Olde Farm", "Marram Gate", "Ostermeer"]


@pytest.mark.parametrize(
    "day, category, shown",
    [("2016-05-17", "2", "2016-05"), ("2016-05-17", None, "2016-05"), ("2016-05-17", "4", "2016-05-17"),
     ("2016-05-17/2016-06-02", "1", "2016-05/2016-06"), ("2016~", "2", "2016~")],
)  # fmt: skip
def test_a_day_at_a_kept_back_place_is_shown_to_the_month(day: str, category: str | None, shown: str) -> None:
    assert day_shown(day, category) == shown
