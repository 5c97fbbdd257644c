"""The cast as a graph by depth: every piece once, at its depth, none over another; all that it shows is said in words."""

from __future__ import annotations

from random import Random
from xml.etree import ElementTree

import pytest
from django.template.loader import render_to_string
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.casts.graph_layout import Rect, round_step, segment
from catalog.casts.graph_picture import Body, Tie, picture


def body(id, top=None, bottom=None, mass=None, state="joined", section=0, **more):
    return Body(id, str(id), state, section or id, f"/casts/2016.1/{id}/", top, bottom, mass, **more)


def many(n, seed=1, sections=0):
    chance = Random(seed)
    return [
        body(
            i,
            top := chance.randrange(0, 120, 10),
            top + 10,
            chance.uniform(2, 200),
            chance.choice(["joined", "loose"]),
            1000 + i % sections if sections else 0,
        )
        for i in range(1, n + 1)
    ]


def over_another(cells):
    return [
        (a.label, b.label)
        for i, a in enumerate(cells)
        for b in cells[i + 1 :]
        if a.x < b.x + b.width and b.x < a.x + a.width and a.y < b.y + b.height and b.y < a.y + a.height
    ]


def test_no_pieces_no_picture():
    assert picture([]) is None


def test_the_deeper_piece_lies_lower_and_the_heavier_is_larger():
    drawn = picture([body(1, 0, 20, 100), body(2, 20, 40, 900), body(3, 40, 80, 100)])
    one, two, three = drawn.cells
    assert one.y < two.y < three.y
    assert two.width * two.height > 3 * one.width * one.height
    assert two.spoken == "2: joined, 20 to 40 cm, 900 g"
    assert two.href == "/casts/2016.1/2/"


@pytest.mark.parametrize("n", [2, 17, 60])
def test_no_cell_lies_over_another_and_all_lie_inside(n):
    drawn = picture(many(n))
    assert len(drawn.cells) == n
    assert over_another(drawn.cells) == []
    assert all(c.x >= 0 and c.x + c.width <= drawn.width and c.y + c.height <= drawn.height for c in drawn.cells)


@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.tuples(st.integers(0, 300), st.integers(0, 60), st.one_of(st.none(), st.floats(0, 20_000))),
        min_size=1,
        max_size=30,
    )
)
def test_whatever_the_depths_and_masses(rows):
    drawn = picture([body(i, top, top + tall, mass) for i, (top, tall, mass) in enumerate(rows, 1)])
    assert over_another(drawn.cells) == []
    assert all(c.x + c.width <= drawn.width and c.y + c.height <= drawn.height for c in drawn.cells)


def test_an_unknown_depth_stands_in_a_column_of_its_own_never_at_a_guess():
    drawn = picture([body(1, 0, 20, 100), body(2, None, None, 50), body(3, 5, None, 50)])
    assert drawn.unknown_x is not None
    assert all(cell.x >= drawn.unknown_x for cell in drawn.cells[1:])
    assert drawn.cells[0].x + drawn.cells[0].width < drawn.unknown_x
    assert drawn.cells[1].spoken == "2: joined, depth not known, 50 g"


def test_joins_are_lines_with_signs_and_a_tie_to_elsewhere_is_left_out():
    drawn = picture(
        [body(1, 0, 20, 100, natural_ends=1), body(2, 20, 40, 100), body(3, 40, 60, 100, "loose")],
        [Tie(1, 2, "fixed"), Tie(2, 3, "suggested", 1), Tie(2, 99, "dry fit"), Tie(2, 2, "failed")],
    )
    assert [(s.state, s.rank) for s in drawn.signs] == [("fixed", 0), ("suggested", 1)]
    assert drawn.cell_key == [("pc", "joined"), ("pc loose", "loose")]
    assert drawn.sign_key == [("fixed", "fixed join"), ("suggested", "worth trying"), ("cap", "natural end")]
    assert len(drawn.cells[0].caps) == 1


def test_more_than_sixty_pieces_are_drawn_as_sections_first():
    bodies = many(180, sections=12)
    drawn = picture(bodies, [Tie(1, 2, "dry fit"), Tie(1, 13, "fixed")])
    assert drawn.grouped
    assert len(drawn.cells) == 12
    assert drawn.cells[0].label == "1 +14"
    assert drawn.cells[0].href == "?section=1"
    assert [s.state for s in drawn.signs] == ["dry fit"]
    assert drawn.spoken == "180 pieces in 12 groups by depth, to 120 cm, with the joins between them"


def test_loose_pieces_are_gathered_by_depth():
    drawn = picture([body(i, 0 if i % 2 else 40, 10 if i % 2 else 50, 5, "loose") for i in range(1, 101)])
    assert sorted(c.label for c in drawn.cells) == ["50 loose", "50 loose"]
    assert {c.spoken for c in drawn.cells} == {
        "50 loose: loose, 0 to 10 cm, 250 g",
        "50 loose: loose, 40 to 50 cm, 250 g",
    }


def test_the_axis_is_marked_in_round_steps():
    """1, 2, 5 and their tens: common practice, no source."""
    assert [round_step(x) for x in (0.7, 1, 3, 7, 12, 26)] == [1, 1, 5, 10, 20, 50]
    assert [m.cm for m in picture([body(1, 0, 90, 10)]).marks] == ["0", "20", "40", "60", "80"]


def test_a_line_reaches_into_both_cells():
    (x1, y1), (x2, y2) = segment(Rect(0, 0, 20, 20), Rect(100, 0, 20, 20))
    assert (x1, y1, x2, y2) == pytest.approx((14, 10, 106, 10))


def test_the_drawing_speaks_and_brings_no_style_of_its_own():
    bodies = [body(1, 0, 20, 100), body(2, 20, 40, None, "not weighed"), Body(3, "<b>", "missing", 3)]
    ties = [Tie(1, 2, state) for state in ("fixed", "dry fit", "failed")] + [Tie(1, 2, "suggested", 1)]
    html = render_to_string("casts/graph.html", {"graph": picture(bodies, ties)})
    assert "style=" not in html
    assert "<b>" not in html
    root = ElementTree.fromstring(html)
    svg = root.find("svg")
    assert svg.get("aria-label") == "3 pieces by depth, to 40 cm, with the joins between them"
    assert [a.get("aria-label") for a in svg.findall("a")] == [
        "1: joined, 0 to 20 cm, 100 g",
        "2: not weighed, 20 to 40 cm, no mass",
    ]
    assert [rect.get("class") for rect in svg.iter("rect")] == ["pc", "pc wet", "pc lost"]
    lines, marks = (g for g in svg.findall("g") if g.get("aria-hidden"))
    assert [x.get("class") for x in lines] == [
        *("jn-case", "jn-in"),
        *("jn-thin", "jn-line", "jn-thin", "jn-line", "jn-thin", "jn-try"),
    ]
    assert [x.tag for x in marks] == ["circle", "circle", "path", "circle", "text"]
    key = ["".join(span.itertext()).strip() for span in root.iter("span")]
    assert key == ["joined", "not weighed", "missing", "fixed join", "dry fit", "failed join", "worth trying"]
