"""Distances, precision and radius, against published tables.

Sources: test file of geographiclib for Python; Chapman & Wieczorek, Georeferencing Best Practices, GBIF 2020,
doi 10.15468/doc-gg7h-s853: tables of precision, map accuracy and offsets, examples of chapter 3.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.excavations.distance import bearing_deg, distance_m, far_from_others
from catalog.excavations.radius import degree_m, map_m, offset_doubt, precision_m, radius_m, sector_m


def test_a_long_way_over_the_antimeridian():
    """geographiclib test file: 8 935 244.5604818 m, setting out at 111.098748429560326 degrees."""
    way = (35.60777, -139.44815, -11.17491, -69.95921)
    assert distance_m(*way) == pytest.approx(8935244.5604818, abs=1e-6)
    assert bearing_deg(*way) == pytest.approx(111.098748429560326, abs=1e-12)


def test_from_new_york_to_paris():
    """geographiclib test file: 5 853 226 m, azimuths 53.47022 and 111.59367."""
    there, back = (40.6, -73.8, 49.01666667, 2.55), (49.01666667, 2.55, 40.6, -73.8)
    assert distance_m(*there) == pytest.approx(5853226, abs=0.5)
    assert bearing_deg(*there) == pytest.approx(53.47022, abs=1e-5)
    assert (bearing_deg(*back) - 180) % 360 == pytest.approx(111.59367, abs=1e-5)


def test_a_degree_in_the_middle_of_europe():
    """Computed once by geographiclib: at 45 degrees 111 131.8 m along the meridian, 78 846.8 m along the parallel."""
    assert degree_m(45) == pytest.approx((111131.8, 78846.8), abs=0.1)
    assert distance_m(44.5, 8, 45.5, 8) == pytest.approx(111131.8, abs=0.1)


def test_west_is_at_270_degrees():
    assert bearing_deg(0, 10, 0, 9) == pytest.approx(270)


def test_there_is_no_direction_from_a_point_to_itself():
    assert distance_m(54, 8, 54, 8) == 0
    assert bearing_deg(54, 8, 54, 8) is None


@pytest.mark.parametrize("place", [(91, 0), (0, 181), (math.nan, 0), (0, math.inf)])
def test_no_distance_to_a_place_off_the_planet(place):
    with pytest.raises(ValueError, match="off the planet"):
        distance_m(54, 8, *place)


def test_a_fix_far_from_its_site_is_doubted_with_the_likely_mending():
    site = [(54.1, 8.2), (54.2, 8.3)]
    assert far_from_others(54.0, 8.0, site) is None
    assert far_from_others(54.0, 8.0, []) is None
    swapped = far_from_others(8.2, 54.1, site)
    assert swapped is not None
    assert "Are north and east swapped? Then it lies 0 km from it." in swapped
    far = far_from_others(-54.1, 8.2, site)
    assert far is not None
    assert "swapped" not in far
    assert far_from_others(54.7, 8.2, site) is None
    assert far_from_others(54.7, 8.2, site, limit_m=50_000) is not None


@pytest.mark.parametrize(
    ("step_deg", "metres"),
    [
        (1, (156904, 146962, 124605, 112109)),
        (0.1, (15691, 14697, 12461, 11211)),
        (0.01, (1570, 1470, 1246, 1121)),
        (0.001, (157, 147, 125, 112)),
        (1 / 60, (2615, 2450, 2077, 1869)),
        (0.01 / 60, (27, 25, 21, 19)),
        (1 / 3600, (44, 41, 35, 32)),
    ],
)
def test_what_a_step_of_a_coordinate_is_on_the_ground(step_deg, metres):
    """Chapman & Wieczorek, metric uncertainty due to precision of coordinates, at 0, 30, 60 and 85 degrees, ±1 m."""
    assert [precision_m(lat, step_deg) for lat in (0, 30, 60, 85)] == pytest.approx(list(metres), abs=1)


def test_the_worked_example_of_precision():
    """Chapman & Wieczorek: 10.27, -123.6 to a hundredth: 1.1061 km, 1.0955 km, together 1.5568 km."""
    north_m, east_m = degree_m(10.27)
    assert (north_m / 1e5, east_m / 1e5) == pytest.approx((1.1061, 1.0955), abs=0.0001)
    assert precision_m(10.27, 0.01) / 1000 == pytest.approx(1.5568, abs=0.0001)


def test_half_a_degree_at_ten_north():
    """Chapman & Wieczorek: 77.87 km (the two parts printed there do not lead to it)."""
    assert precision_m(10, 0.5) / 1000 == pytest.approx(77.87, abs=0.01)


@pytest.mark.parametrize("step", [0, -1, math.nan, math.inf])
def test_no_precision_without_a_step(step):
    with pytest.raises(ValueError, match="says nothing"):
        precision_m(54, step)


def test_ten_kilometres_north_east():
    """Chapman & Wieczorek: 10 km NE is uncertain by 3.90 km from the heading alone."""
    assert sector_m(10_000, 8) / 1000 == pytest.approx(3.90, abs=0.005)


def test_the_sector_grows_with_the_doubt_of_the_distance():
    """Geometry: without a distance only the doubt is left, and a right angle of winds has its far corner."""
    assert sector_m(0, 4, 500) == pytest.approx(500)
    assert sector_m(1000, 4) == pytest.approx(2000 * math.sin(math.radians(22.5)))
    assert sector_m(1000, 16, 100) > sector_m(1000, 16)
    with pytest.raises(ValueError, match="4, 8 or 16 winds"):
        sector_m(1000, 32)


@pytest.mark.parametrize(
    ("figure", "doubt"),
    [
        ("10.1", 0.05),
        ("10.25", 0.125),
        ("10.5", 0.25),
        ("10.75", 0.125),
        ("10", 0.5),
        ("33", 0.5),
        ("100", 5),
        ("140", 5),
        ("1000", 50),
    ],
)
def test_the_doubt_of_a_distance_as_written(figure, doubt):
    """Chapman & Wieczorek, table of offset precision, in the unit of the writing."""
    assert offset_doubt(figure) == pytest.approx(doubt)


@pytest.mark.parametrize("figure", ["10,5", "", "-3", "ten", "1e3", "nan"])
def test_a_distance_in_other_letters_is_refused(figure):
    with pytest.raises(ValueError, match="Write figures with a point"):
        offset_doubt(figure)


@pytest.mark.parametrize(("scale", "metres"), [(50_000, 25), (100_000, 50), (25_000, 12.5)])
def test_a_drawn_line_on_a_paper_map(scale, metres):
    """Chapman & Wieczorek, table of map accuracy, a line of half a millimetre."""
    assert map_m(scale) == pytest.approx(metres)


def test_the_parts_of_a_radius_are_added_and_rounded_up():
    """Arithmetic: 1.45 + 3 + 2 x 8 + 25 + 10 = 55.45."""
    assert radius_m(1.45, extent_m=3, receiver_m=8, map_m=25, datum_m=10) == 56
    assert radius_m(12, stated_m=8) == 20


def test_the_accuracy_of_a_receiver_counts_double():
    """Chapman & Wieczorek: the accuracy a receiver shows holds about half of its fixes."""
    assert radius_m(1, receiver_m=5) - radius_m(1) == 10


def test_no_radius_is_nought():
    """Darwin Core: 0 is not a valid coordinateUncertaintyInMeters (from memory)."""
    assert radius_m(0.001) == 1
    for parts in ({"precision_m": 0}, {"precision_m": -1}, {"precision_m": 1, "map_m": math.nan}):
        with pytest.raises(ValueError):
            radius_m(**parts)


@given(st.floats(1e-6, 1e6), st.floats(0, 1e6), st.floats(0, 1e4))
def test_a_radius_is_never_smaller_than_its_parts(precision, extent, receiver):
    radius = radius_m(precision, extent_m=extent, receiver_m=receiver)
    assert radius >= 1
    assert radius + 1e-5 >= precision + extent + 2 * receiver > radius - 1 or radius == 1
