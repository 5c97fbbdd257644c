"""The two drawings of a dig: in proportion, named for who cannot see them, nothing in them but what was given."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from catalog.excavations.distance import distance_m
from catalog.excavations.drawing import Drawn, Point, ground, sketch


def brackets(svg: str) -> list[tuple[float, float]]:
    return [(float(y), float(h)) for y, h in re.findall(r'<rect x="64" y="([\d.]+)" width="16" height="([\d.]+)"', svg)]


def test_lifts_are_drawn_in_proportion_to_their_depths() -> None:
    svg = ground([Drawn("lift 1", 0, 20), Drawn("lift 2", 20, 60), Drawn("lift 3", None, 70)], 60)
    ElementTree.fromstring(svg)
    (_, first), (_, second) = brackets(svg)
    assert abs((second + 4) / (first + 4) - 2) < 0.05
    assert 'aria-label="The ground to 60 centimetres, with 2 of its lifts by depth"' in svg


def test_without_any_depth_nothing_is_drawn() -> None:
    assert ground([Drawn("lift 1", None, None)], None) == ""
    assert ground([], 0) == ""


def test_words_are_escaped() -> None:
    assert "<b>" not in ground([Drawn("<b>", 0, 1)], 1)
    ElementTree.fromstring(sketch(Point(54.3, 5.2, 10, 'D-1 "<&'), []))


def test_the_circle_the_bar_and_the_neighbours_are_of_one_scale() -> None:
    """The distance between the two dots, measured by the bar, is that of geographiclib to a twentieth: the bar is drawn in whole pixels."""
    here, other = Point(54.355, 5.2, 100, "D-2025-1"), Point(54.357, 5.204, 30)
    svg = sketch(here, [other])
    ElementTree.fromstring(svg)
    bar_px = float(re.search(r"v6h([\d.]+)v-6", svg)[1])
    bar_m = float(re.search(r">(\d+) m</text>", svg)[1])
    dots = [(float(x), float(y)) for x, y in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="[46]"', svg)]
    drawn_px = ((dots[0][0] - dots[1][0]) ** 2 + (dots[0][1] - dots[1][1]) ** 2) ** 0.5
    true_m = distance_m(here.lat, here.lon, other.lat, other.lon)
    assert abs(drawn_px / bar_px * bar_m / true_m - 1) < 0.05
    radius_px = float(re.search(r'r="([\d.]+)" class="dr-l dashed"', svg)[1])
    assert abs(radius_px / bar_px * bar_m - 100) < 5


def test_a_neighbour_on_the_other_side_of_the_earth_is_left_out_of_the_frame() -> None:
    assert sketch(Point(54.3, 5.2, 10), [Point(-54.3, -170, 10)]).count('class="pc') == 1
    near = sketch(Point(0, 179.9999, 10), [Point(0, -179.9999, 10)])
    assert near.count('class="pc') == 2
