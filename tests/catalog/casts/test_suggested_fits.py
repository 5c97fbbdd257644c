"""Suggestions for a cast on record: which faces count, what was refused, how the picture by depth is filled."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.template.loader import render_to_string
from django.test import Client

from catalog.casts.actions import add_face, refuse_fit
from catalog.casts.reads.fits import fits_of
from catalog.casts.reads.graph import graph_of
from catalog.ground.acting import store
from tests import builders
from tests.catalog.casts.makers_pieces import cast_in_pieces, joined

pytestmark = pytest.mark.django_db


def measured(piece, length, width=None, side=""):
    sizes = {"length_mm": Decimal(length), "width_mm": Decimal(width) if width else None}
    return add_face(builders.saar(), piece, side=side, **sizes)


def numbers(found, face):
    return [s.other.number for s in found.by_face[face.pk]]


def four_faces():
    cast, pieces = cast_in_pieces(n=4, from_cm=0, to_cm=14)
    a = measured(pieces[0], "14.1", "12.0", "lower")
    b = measured(pieces[1], "14.4", "12.2", "upper")
    c = measured(pieces[2], "22.0", "18.0", "upper")
    d = measured(pieces[3], "23.0", "19.0", "lower")
    return cast, pieces, (a, b, c, d)


def test_the_fitting_face_comes_first_and_says_why():
    cast, _, (a, b, c, d) = four_faces()
    found = fits_of(builders.saar(), cast)
    assert numbers(found, a)[0] == b.number
    assert numbers(found, d)[0] == c.number
    first = found.pairs[0]
    assert {first.face.pk, first.other.pk} in ({a.pk, b.pk}, {c.pk, d.pk})
    tried = [{s.face.pk, s.other.pk} for s in found.pairs]
    assert tried[:2] == [{c.pk, d.pk}, {a.pk, b.pk}] or tried[:2] == [{a.pk, b.pk}, {c.pk, d.pk}]
    assert len(tried) == 6
    assert found.by_face[a.pk][0].fit.why == "same depth, widths 14.1 and 14.4 mm (z 0.3), lower to upper"
    assert found.rough


def test_what_is_refused_does_not_come_back():
    cast, _, (a, b, _, _) = four_faces()
    refuse_fit(builders.saar(), b, a, why="tried dry")
    assert b.number not in numbers(fits_of(builders.saar(), cast), a)
    assert a.number not in numbers(fits_of(builders.saar(), cast), b)


def test_joined_faces_natural_ends_missing_and_broken_pieces_are_left_out():
    cast, pieces, (a, b, c, _d) = four_faces()
    joined(a, b, "dry fit")
    add_face(builders.saar(), pieces[0], natural_end=True)
    with builders.by_hand():
        pieces[3].missing_since = "2026-01-05"
        store(pieces[3])
    found = fits_of(builders.saar(), cast)
    assert [face.pk for face in found.faces] == [c.pk]
    assert found.by_face == {c.pk: []}
    assert found.pairs == []


def test_another_cast_changes_nothing():
    cast, _, (a, *_) = four_faces()
    before = [(s.other.number, s.fit.rank) for s in fits_of(builders.saar(), cast).by_face[a.pk]]
    _, others = cast_in_pieces("2019.2", n=1, from_cm=0, to_cm=14)
    measured(others[0], "14.2", "12.1", "upper")
    assert [(s.other.number, s.fit.rank) for s in fits_of(builders.saar(), cast).by_face[a.pk]] == before


def test_the_queries_stay_the_same_whatever_the_pieces(django_assert_max_num_queries):
    cast, pieces = cast_in_pieces(n=30, from_cm=0, to_cm=14)
    for n, piece in enumerate(pieces):
        measured(piece, 10 + n / 2)
    reader = builders.saar()
    with django_assert_max_num_queries(3):
        found = fits_of(reader, cast)
        [s.other.number for row in found.by_face.values() for s in row]
    with django_assert_max_num_queries(3):
        assert len(graph_of(reader, cast).cells) == 30


def test_the_picture_shows_states_joins_and_what_to_try():
    cast, pieces, (a, b, _, _) = four_faces()
    joined(a, b)
    with builders.by_hand():
        pieces[2].mass_g = None
        pieces[2].mass_state = ""
        store(pieces[2])
    found = fits_of(builders.saar(), cast)
    drawn = graph_of(builders.saar(), cast, suggested=found.pairs, away=[pieces[1].pk])
    assert [c.css for c in drawn.cells] == ["pc", "pc lent", "pc wet", "pc loose"]
    assert [s.state for s in drawn.signs] == ["fixed", "suggested"]
    assert len(graph_of(builders.saar(), cast, section="1").cells) == 2
    assert graph_of(builders.saar(), builders.cast("2020.1")) is None


def test_the_api_gives_open_faces_with_their_fits():
    cast, _, (a, b, _, _) = four_faces()
    client = builders.signed_in(Client(), "Saar Osei")
    found = client.get(f"/api/v1/casts/{cast.number}/suggested-fits/")
    assert found.status_code == 200
    rows = found.json()["items"]
    assert [row["face"] for row in rows][:2] == [a.number, b.number]
    assert rows[0]["fits"][0] == {
        "face": b.number,
        "rank": 1,
        "likely": "likely",
        "why": "same depth, widths 14.1 and 14.4 mm (z 0.3), lower to upper",
        "z": pytest.approx(0.27, abs=0.05),
    }
    assert Client().get(f"/api/v1/casts/{cast.number}/suggested-fits/").status_code == 401
    assert client.get("/api/v1/casts/1999.9/suggested-fits/").status_code == 404


def test_the_part_of_the_page_says_what_to_try_and_when_nothing_is_left():
    cast, _, (_a, _b, _, _) = four_faces()
    found = fits_of(builders.saar(), cast)
    html = render_to_string("casts/suggested_fits.html", {"suggestions": found, "shown": found.pairs, "deed_to": "/x/"})
    assert "It fits, dry" in html
    assert "style=" not in html
    empty = fits_of(builders.saar(), builders.cast("2020.2"))
    assert "All faces are closed or natural ends." in render_to_string(
        "casts/suggested_fits.html", {"suggestions": empty, "shown": empty.pairs}
    )
