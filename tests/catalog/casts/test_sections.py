"""Sections and what one join holds, against networkx."""

from __future__ import annotations

from decimal import Decimal as D
from itertools import pairwise

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.casts.sections import carried, left_out, sections, weak_points

JOINS = [(1, 2), (2, 3), (3, 1), (4, 5), (6, 7), (7, 8), (8, 9), (9, 6), (9, 10)]
PIECES = list(range(1, 13))


def test_twelve_pieces_hang_in_five_sections() -> None:
    assert sections(PIECES, JOINS) == [(1, 2, 3), (4, 5), (6, 7, 8, 9, 10), (11,), (12,)]


def test_what_one_join_alone_holds() -> None:
    weak = weak_points(PIECES, JOINS)
    assert [JOINS[i] for i in weak.bridges] == [(4, 5), (9, 10)]
    assert weak.cut_pieces == [9]


def test_a_doubled_join_is_no_bridge() -> None:
    doubled = [*JOINS, (9, 10)]
    assert [doubled[i] for i in weak_points(PIECES, doubled).bridges] == [(4, 5)]


def test_a_join_to_a_piece_that_is_gone_is_left_out() -> None:
    assert left_out([1, 2], [(1, 2), (2, 3)]) == [1]
    assert sections([1, 2], [(1, 2), (2, 3)]) == [(1, 2)]


def test_the_lighter_side_of_a_join() -> None:
    held = carried([6, 7, 8, 9, 10], JOINS[4:], {6: D(1), 7: D(1), 8: D(1), 9: D(4), 10: D(3)})
    assert [(c.join, c.mass_g, c.share) for c in held] == [(4, D(3), D("0.3"))]
    assert carried([6, 7, 8, 9, 10], JOINS[4:], {6: D(1), 7: None, 8: D(1), 9: D(4), 10: D(3)}) == []


def test_six_hundred_pieces_in_a_row() -> None:
    row = list(range(600))
    ties = list(pairwise(row))
    weak = weak_points(row, ties)
    assert len(weak.bridges) == 599
    assert weak.cut_pieces == row[1:-1]
    assert len(sections(row, ties)) == 1


def test_the_florentine_families() -> None:
    # networkx's own data of the families' marriages (Padgett): its bridges and articulation points are the reference
    graph = nx.florentine_families_graph()
    pieces, ties = list(graph.nodes), list(graph.edges)
    weak = weak_points(pieces, ties)
    assert {frozenset(ties[i]) for i in weak.bridges} == {frozenset(e) for e in nx.bridges(graph)}
    assert set(weak.cut_pieces) == set(nx.articulation_points(graph))
    assert set(weak.cut_pieces) == {"Albizzi", "Guadagni", "Medici", "Salviati"}


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 199), st.integers(0, 199)), max_size=260))
def test_the_same_as_the_reference_on_random_graphs(ties: list[tuple[int, int]]) -> None:
    ties = [(a, b) for a, b in ties if a != b]
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(200))
    graph.add_edges_from(ties)
    assert {frozenset(s) for s in sections(range(200), ties)} == {frozenset(c) for c in nx.connected_components(graph)}
    simple = nx.Graph(graph)
    alone = {frozenset(e) for e in nx.bridges(simple) if graph.number_of_edges(*e) == 1}
    weak = weak_points(range(200), ties)
    assert {frozenset(ties[i]) for i in weak.bridges} == alone
    assert set(weak.cut_pieces) == set(nx.articulation_points(simple))
