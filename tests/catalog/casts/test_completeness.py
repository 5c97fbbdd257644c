"""How much of a cast is accounted for. Figures agreed with the library uncertainties 3.2.3 or by fractions."""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from catalog.casts.completeness import by_chambers, by_faces, by_mass, dry_of_plaster
from catalog.casts.mass_balance import Weighed

POURED = [Weighed(D(5000), D(10))]
NOT_OF_IT = [Weighed(D(640), D(1)), Weighed(D(520), D(1)), Weighed(D(60), D(5))]


def test_by_mass_with_its_uncertainty() -> None:
    from uncertainties import ufloat

    found = by_mass(POURED, NOT_OF_IT, [Weighed(D("3418.2"), D("2.2"), "constant")])
    theirs = ufloat(3418.2, 2.2) / (ufloat(5000, 10) - ufloat(640, 1) - ufloat(520, 1) - ufloat(60, 5))
    assert float(found.share or 0) == pytest.approx(theirs.nominal_value) == pytest.approx(0.904286, abs=1e-6)
    assert float(found.uncertainty or 0) == pytest.approx(theirs.std_dev) == pytest.approx(0.002758, abs=1e-6)


def test_more_than_was_poured_is_not_clipped() -> None:
    found = by_mass([Weighed(D(100), D(1))], [], [Weighed(D(120), D(1))])
    assert found.share == D("1.2")
    assert "More is here than was poured" in found.why


@pytest.mark.parametrize(
    ("poured", "present", "words"),
    [
        ([], [Weighed(D(1))], "how much was poured"),
        (POURED, [], "No piece is weighed"),
        (POURED, [Weighed(D(1), state="wet")], "weighed wet"),
        (POURED, [Weighed(D(1)), None], "1 of 2 are not weighed"),
    ],
)
def test_no_answer_by_mass_is_never_a_hundred_per_cent(poured: list, present: list, words: str) -> None:  # type: ignore[type-arg]
    found = by_mass(poured, [], present)
    assert found.share is None
    assert words in found.why


def test_by_break_faces() -> None:
    # 126 faces, 9 natural ends, 31 fixed joins and 6 dry fits on 64 pieces (fractions)
    fixed = by_faces(126, 9, 31, n_pieces=64)
    assert fixed.share == pytest.approx(D(".529915"), abs=D("1e-6"))
    assert by_faces(126, 9, 37, n_pieces=64).share == pytest.approx(D(".632479"), abs=D("1e-6"))
    assert fixed.uncertainty is None


def test_one_body_that_never_broke_is_whole() -> None:
    assert by_faces(0, 0, 0, n_pieces=1).share == 1
    assert by_faces(2, 2, 0, n_pieces=1).share == 1
    assert by_faces(0, 0, 0, n_pieces=7).share is None


def test_by_chambers() -> None:
    assert by_chambers(17, 19).share == pytest.approx(D(".894737"), abs=D("1e-6"))
    assert by_chambers(17, None).share is None
    assert "At least 17" in by_chambers(17, None).why


def test_plaster_binds_its_water() -> None:
    # 118.618 g of dihydrate per 100 g of hemihydrate (exact fractions of the atomic weights); textbook 18.6 g of water
    assert dry_of_plaster(D(100)) == pytest.approx(D("118.618"), abs=D(".001"))
