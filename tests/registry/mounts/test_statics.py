"""Loads on supports against printed problems and worked values; each source stands beside its check."""

from __future__ import annotations

import random
from decimal import Decimal
from fractions import Fraction as F
from math import cos, pi, sin, sqrt

import numpy
import pytest
from scipy.optimize import linprog

from registry.mounts.statics import (
    Carrier,
    Part,
    bracket,
    centre_of_mass,
    reckon,
    share,
    tension_n,
    tipping,
    use_of,
    verdict_of,
    weight_n,
)
from registry.mounts.statics.sharing import lever

D = Decimal


def near(found: list[F], wanted: list[float], by: float = 5e-5) -> bool:
    return [float(f) for f in found] == pytest.approx(wanted, abs=by)


def test_a_weight_and_a_centre_of_mass_in_exact_fractions() -> None:
    """Worked by hand in fractions; g by the 3rd CGPM (9.80665)."""
    assert float(weight_n(D(18000))) == pytest.approx(176.5197, abs=1e-9)
    spots = [(0, 0, 0), (300, 100, -200), (150, 400, -650), (400, 50, 20)]
    parts = [Part("p", D(m), *(D(v) for v in spot)) for m, spot in zip((1200, 800, 450, 150), spots, strict=True)]
    assert centre_of_mass(parts) == (F(3675, 26), F(2675, 26), F(-4495, 26))


def test_two_supports_by_the_lever() -> None:
    """Ours, worked by hand: 200 N at .45 m of 1.2 m; beyond the end it lifts off."""
    assert [float(v) for v in lever(F(200), F("0.45"), F("1.2"))] == [125, 75]
    assert [float(v) for v in lever(F(200), F("1.5"), F("1.2"))] == [-50, 250]


@pytest.mark.parametrize("apart, loads, left, right", [
    (4, [(800, 2), (600, 6)], 1300, 100),
    (5, [(600, 7), (1000, 2), (400, 1), (400, -1)], 1240, 1160),
])  # fmt: skip
def test_printed_overhanging_beams(apart: int, loads: list[tuple[int, int]], left: int, right: int) -> None:
    """Overhang beam examples of a teaching site; distances are from the right support."""
    both = [lever(F(w), F(a), F(apart)) for w, a in loads]
    assert sum(r for r, _ in both) == right
    assert sum(l_ for _, l_ in both) == left


def test_three_supports_under_the_printed_equilateral_table() -> None:
    """Equilateral table of 900 mm, 500 N at 325 mm from A and 625 mm from B; closed form R_C = 500 sqrt(74)/3^3.5."""
    side, a, b = 900.0, 325.0, 625.0
    x = (a * a - b * b + side * side) / (2 * side)
    y = sqrt(a * a - x * x)
    corners = [(F(0), F(0)), (F(900), F(0)), (F(450), F(450 * sqrt(3)))]
    loads = share(F(500), (F(x), F(y)), corners).even
    assert near(loads, [291.976, 116.050, 91.973], 5e-4)
    assert float(loads[2]) == pytest.approx(500 * sqrt(74) / 3**3.5, abs=1e-9)


def test_three_supports_in_exact_fractions() -> None:
    """Worked by hand."""
    corners = [(F(0), F(0)), (F(600), F(0)), (F(250), F(500))]
    assert share(F(18), (F(280), F(140)), corners).even == [F(333, 50), F(63, 10), F(126, 25)]


RECTANGLE = [(F(0), F(0)), (F(400), F(0)), (F(400), F(300)), (F(0), F(300))]


def test_four_feet_share_evenly_or_at_worst() -> None:
    """Least norm and the vertices of the linear programme, worked beforehand; the trap: 12.5 N looks comfortable, 40 is."""
    shared = share(F(120), (F(250), F(100)), RECTANGLE)
    assert near(shared.even, [32.5, 47.5, 27.5, 12.5])
    assert near(shared.worst or [], [45, 75, 40, 40])
    assert not shared.determined


def test_six_feet_in_a_ring_share_evenly_or_at_worst() -> None:
    """As above, a regular hexagon."""
    ring = [(F(100 * cos(n * pi / 3)), F(100 * sin(n * pi / 3))) for n in range(6)]
    shared = share(F(60), (F(20), F(10)), ring)
    assert near(shared.even, [14, 13.7321, 9.7321, 6, 6.2679, 10.2679])
    assert near(shared.worst or [], [34.2679, 33.4641, 25.7321, 22.2679, 22.2679, 26.5359])


def test_three_in_a_row_are_shared_by_pairs() -> None:
    """Worked by hand."""
    row = [(F(0), F(0)), (F(600), F(0)), (F(1200), F(0))]
    shared = share(F(90), (F(500), F(0)), row)
    assert (shared.even, shared.worst) == ([F("37.5"), 30, F("22.5")], [F("52.5"), 75, F("37.5")])


def test_the_worst_case_is_the_top_of_the_linear_programme() -> None:
    """Against scipy's linprog: maximise one load over all sharings that balance, 25 seeded cases of four to six supports."""
    rng, tried = random.Random(11), 0
    while tried < 25:
        supports = [(F(rng.randint(0, 900)), F(rng.randint(0, 700))) for _ in range(rng.randint(4, 6))]
        at = (F(rng.randint(200, 700)), F(rng.randint(150, 550)))
        shared = share(F(100), at, supports)
        if shared.worst is None or len(set(supports)) < len(supports):
            continue
        tried += 1
        matrix = numpy.array([[1.0] * len(supports), *zip(*((float(x), float(y)) for x, y in supports), strict=True)])
        for n, worst in enumerate(shared.worst):
            aim = [-1.0 if i == n else 0.0 for i in range(len(supports))]
            best = linprog(aim, A_eq=matrix, b_eq=[100, 100 * float(at[0]), 100 * float(at[1])])
            assert -best.fun == pytest.approx(float(worst), abs=1e-6)


def test_what_is_not_over_its_feet_tips() -> None:
    outside = (F(900), F(100))
    assert share(F(120), outside, RECTANGLE).tips
    assert share(F(120), outside, RECTANGLE).worst is None
    held = share(F(120), outside, RECTANGLE, both_ways=True)
    assert (held.tips, held.worst) == (False, None)
    assert min(held.even) < 0
    assert sum(held.even) == 120


@pytest.mark.parametrize("angle, factor", [(90, 1.0), (75, 1.035), (60, 1.155), (45, 1.414), (30, 2.0)])
def test_slanting_wires_against_a_sling_makers_table(angle: int, factor: float) -> None:
    """Multipliers of a lifting maker's table, by the angle from the horizontal."""
    assert tension_n(1, angle) == pytest.approx(factor, abs=1e-3)


def test_two_slings_under_ten_thousand_pounds() -> None:
    """The same table: 5 775 and 7 070 lb there are rounded; 5 773.5 and 7 071.1."""
    assert tension_n(5000, 60) == pytest.approx(5773.5, abs=0.1)
    assert tension_n(5000, 45) == pytest.approx(7071.1, abs=0.1)
    with pytest.raises(ValueError, match="flatter than 30"):
        tension_n(5000, 29)


def test_what_stands_freely_may_lean_so_far() -> None:
    """Worked by hand: feet 600 x 400 and a square of 500."""
    feet = [(F(0), F(0)), (F(600), F(0)), (F(600), F(400)), (F(0), F(400))]
    stands = tipping(450, (F(320), F(150)), 700, feet, 1500)
    assert (stands.margin_mm, stands.push_n) == (150, 45)
    assert stands.lean_deg == pytest.approx(12.0948, abs=5e-5)
    assert stands.shaky
    square = [(F(0), F(0)), (F(500), F(0)), (F(500), F(500)), (F(0), F(500))]
    stands = tipping(100, (F(250), F(250)), 500, square, 500)
    assert stands.lean_deg == pytest.approx(26.5651, abs=5e-5)
    assert stands.push_n == 50


def test_a_bracket_pulls_at_its_upper_fixing() -> None:
    """Worked by hand: 80 N, 120 mm out, fixings 150 mm apart."""
    low, high = bracket(80, 120, [0, 150])
    assert (high.pull_n, low.pull_n) == (64, 0)
    assert high.both_n == pytest.approx(75.4718, abs=5e-5)


def test_how_much_of_a_support_is_used() -> None:
    """Worked by hand: 300 N with a safety of five."""
    assert use_of(47.5, 300, 5, 1) == pytest.approx(0.791667, abs=5e-7)
    assert verdict_of(use_of(47.5, 300, 5, 1)) == "in order"
    assert verdict_of(use_of(75, 300, 5, 1)) == "over-loaded"
    assert [verdict_of(u) for u in (0.8, 1.0, None)] == ["near", "near", "capacity unknown"]


def feet(**more: D) -> list[Carrier]:
    return [Carrier(str(n), D(x), D(y), **more) for n, (x, y) in enumerate(((0, 0), (400, 0), (400, 300), (0, 300)), 1)]


def test_the_worst_case_is_judged_and_not_the_even_one() -> None:
    mass = (D(120) / D("9.80665") * 1000).quantize(D("0.0001"))
    found = reckon([Part("cast", mass, D(250), D(100))], feet(capacity_n=D(300), safety=D(5)))
    assert found.over == ["2"]
    assert found.supports[1].even_n == pytest.approx(47.5, abs=1e-4)
    assert found.supports[1].use == pytest.approx(1.25, abs=1e-4)


def test_a_part_without_a_place_counts_whole_on_every_support() -> None:
    found = reckon([Part("board", D(1000), D(200), D(150)), Part("2016.1.4", D(500))], feet())
    assert [s.even_n for s in found.supports] == [None] * 4
    assert found.supports[0].worst_n == pytest.approx(9.80665 / 2 + 4.903325, abs=1e-6)
    assert "2016.1.4" in found.notes[0]


def test_without_a_mass_or_a_support_no_load_is_said() -> None:
    assert reckon([], feet()).no_answer.startswith("No load is known")
    assert reckon([Part("cast", D(5))], []).no_answer.startswith("No support is on record")
    assert (
        "one spot"
        in reckon([Part("c", D(5), D(0), D(0))], [Carrier("1", D(0), D(0)), Carrier("2", D(0), D(0))]).no_answer
    )
