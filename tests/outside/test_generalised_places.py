"""Sensitive places kept back to a cell.

Sources: categories after Chapman, Current Best Practices for Generalizing Sensitive Species Occurrence Data, GBIF
2020, doi 10.15468/doc-5jp4-5g10, table 7. The cells and radii below were computed apart from this code with
geographiclib; the rule itself is ours, so there is no published table of it.
"""

import math
from decimal import Decimal

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from catalog.excavations.distance import distance_m
from catalog.excavations.generalised import (
    INFORMATION_WITHHELD,
    box_meets_cell,
    cell_of,
    generalisation_words,
    generalised,
)

LATITUDES = st.floats(-90, 90)
LONGITUDES = st.floats(-180, 180)
CATEGORIES = st.sampled_from([1, 2, 3, 4])


@pytest.mark.parametrize(
    ("lat", "lon", "category", "shown_lat", "shown_lon", "within_m"),
    [
        (30.438256, -84.280733, 1, "30.5", "-84.5", 73403),
        (30.438256, -84.280733, 2, "30.45", "-84.25", 7335),
        (30.438256, -84.280733, 3, "30.435", "-84.285", 734),
        (30.438256, -84.280733, 4, "30.4385", "-84.2805", 74),
        (-33.86882, 151.20929, 2, "-33.85", "151.25", 7224),
        (60.0123, 10.5678, 3, "60.015", "10.565", 623),
    ],
)
def test_a_place_is_shown_as_the_centre_of_its_cell(lat, lon, category, shown_lat, shown_lon, within_m):
    shown = generalised(lat, lon, 5, category)
    assert (str(shown.lat), str(shown.lon), shown.within_m) == (shown_lat, shown_lon, within_m)
    assert distance_m(lat, lon, float(shown.lat), float(shown.lon)) <= within_m


@pytest.mark.parametrize(("category", "side"), [(1, "1"), (2, "0.1"), (3, "0.01"), (4, "0.001")])
def test_the_side_of_the_cell_by_category(category, side):
    """Chapman 2020, table 7."""
    assert generalised(54.123456, 8.654321, 5, category).precision == Decimal(side)
    assert generalised(54.123456, 8.654321, 5, str(category)).precision == Decimal(side)


@pytest.mark.parametrize("category", [0, 5, -1, True, "high", "", 2.5])
def test_a_category_nobody_knows_is_held_back_as_high(category):
    assert generalised(54.123456, 8.654321, 5, category) == generalised(54.123456, 8.654321, 5, 2)


@pytest.mark.parametrize("category", [None, "none"])
def test_a_place_that_may_be_known_is_shown_as_held(category):
    shown = generalised(54.123456, 8.654321, 4.2, category)
    assert (str(shown.lat), str(shown.lon), shown.within_m, shown.precision) == ("54.123456", "8.654321", 5, None)
    assert generalisation_words(shown) is None


def test_three_tenths_do_not_fall_into_the_cell_below():
    """A binary 0.3 lies just under three tenths; 0.3 as written opens its own cell."""
    assert cell_of(generalised(0.3, -0.3, 5, 2)).south == Decimal("0.3")
    assert str(generalised(0.3, -0.3, 5, 2).lon) == "-0.25"


def test_the_poles_and_the_antimeridian_belong_to_the_last_cell():
    assert (str(generalised(90, 180, 5, 2).lat), str(generalised(90, 180, 5, 2).lon)) == ("89.95", "179.95")
    assert (str(generalised(-90, -180, 5, 2).lat), str(generalised(-90, -180, 5, 2).lon)) == ("-89.95", "-179.95")


def test_a_true_circle_wider_than_the_cell_is_added():
    narrow, wide = generalised(30.438256, -84.280733, 40, 4), generalised(30.438256, -84.280733, 60, 4)
    assert narrow.within_m == 74
    assert 133 <= wide.within_m <= 134


@given(st.decimals("54.1", "54.19999", places=5), st.decimals("8.6", "8.69999", places=5), st.floats(0.5, 20_000))
@settings(deadline=None)
def test_two_places_in_one_cell_cannot_be_told_apart(lat, lon, radius_m):
    assert generalised(lat, lon, radius_m, 2) == generalised(54.1, 8.6, radius_m, 2)


@given(LATITUDES, LONGITUDES, CATEGORIES)
@example(90.0, 180.0, 4)
@example(-90.0, -180.0, 1)
@example(-5e-324, -5e-324, 4)
@example(0.3, 0.7, 2)
@settings(max_examples=300, deadline=None)
def test_the_true_place_lies_in_the_cell_and_in_the_circle(lat, lon, category):
    shown = generalised(lat, lon, 1, category)
    cell = cell_of(shown)
    assert cell.south <= Decimal(str(lat)) <= cell.north
    assert cell.west <= Decimal(str(lon)) <= cell.east
    assert distance_m(lat, lon, float(shown.lat), float(shown.lon)) <= shown.within_m


@given(LATITUDES, LONGITUDES, CATEGORIES)
@settings(max_examples=200, deadline=None)
def test_keeping_a_place_back_twice_changes_nothing(lat, lon, category):
    once = generalised(lat, lon, 1, category)
    assert generalised(once.lat, once.lon, 1, category) == once
    assert generalised(float(once.lat), float(once.lon), 1, category) == once


@pytest.mark.parametrize(
    ("lat", "lon", "radius_m"),
    [
        (91, 0, 5),
        (0, 181, 5),
        (math.nan, 0, 5),
        (Decimal("NaN"), 0, 5),
        (0, math.inf, 5),
        (0, 0, 0),
        (0, 0, -3),
        (0, 0, math.nan),
    ],
)
def test_no_cell_for_a_place_off_the_planet_or_without_a_radius(lat, lon, radius_m):
    with pytest.raises(ValueError):
        generalised(lat, lon, radius_m, 2)


def test_the_words_say_both_precisions():
    shown = generalised(30.438256, -84.280733, 5, 2)
    assert generalisation_words(shown, held_deg=0.00001) == (
        "Coordinates generalised from 0.00001 degree to a 0.1 degree geographic grid, cell centre given"
    )
    assert generalisation_words(shown, held_m=1) == (
        "Coordinates generalised from 1 m to a 0.1 degree geographic grid, cell centre given"
    )
    assert generalisation_words(shown) == "Coordinates generalised to a 0.1 degree geographic grid, cell centre given"
    assert INFORMATION_WITHHELD.startswith("Exact locality, elevation and field number withheld")


# Searching by a box


def _meets(shown, south, west, north, east):
    return box_meets_cell(shown, south=south, west=west, north=north, east=east)


def test_a_box_meets_a_place_only_by_its_cell():
    shown = generalised(54.123456, 8.654321, 5, 2)  # the cell 54.1..54.2, 8.6..8.7
    assert _meets(shown, 54.18, 8.68, 54.19, 8.69)  # in the cell, far from the place
    assert _meets(shown, 50, 0, 60, 20)
    assert not _meets(shown, 54.25, 8.6, 54.3, 8.7)
    assert not _meets(shown, 54.1, 8.75, 54.2, 8.8)


def test_a_place_shown_as_held_is_met_only_at_its_point():
    shown = generalised(54.123456, 8.654321, 5, None)
    assert _meets(shown, 54.12, 8.65, 54.13, 8.66)
    assert not _meets(shown, 54.18, 8.68, 54.19, 8.69)


def test_a_box_may_run_across_the_antimeridian():
    fiji = generalised(-17.05, 179.95, 5, 2)
    assert _meets(fiji, -20, 179, -15, -179)
    assert not _meets(fiji, -20, -179, -15, 179.5)
    assert _meets(generalised(-17.05, -179.95, 5, 2), -20, 179, -15, -179)


def test_a_box_upside_down_is_refused():
    shown = generalised(54.123456, 8.654321, 5, 2)
    with pytest.raises(ValueError, match=r"Are the two swapped\?"):
        _meets(shown, 55, 8, 54, 9)
    with pytest.raises(ValueError, match="off the planet"):
        _meets(shown, 54, 8, 54, 190)


@given(
    st.decimals("54.1", "54.19999", places=5),
    st.decimals("8.6", "8.69999", places=5),
    st.tuples(LATITUDES, LATITUDES).map(sorted),
    LONGITUDES,
    LONGITUDES,
)
@settings(deadline=None)
def test_no_box_tells_two_places_of_one_cell_apart(lat, lon, latitudes, west, east):
    south, north = latitudes
    one, other = generalised(lat, lon, 5, 2), generalised(54.15, 8.65, 5, 2)
    assert _meets(one, south, west, north, east) == _meets(other, south, west, north, east)
