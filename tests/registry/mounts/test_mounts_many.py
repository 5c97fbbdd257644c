"""How often the database is asked does not grow with the casts, the pieces or the mounts."""

from __future__ import annotations

from decimal import Decimal as D

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from catalog.casts.subject import Subject, what_hinders_any
from registry.mounts import actions, reads
from registry.mounts.said import MountSaid
from tests import builders
from tests.registry.mounts.makers_mounts import foot, frame, stands
from tests.registry.places.makers_places import tree

pytestmark = pytest.mark.django_db


def test_a_crate_full_is_asked_of_in_few_queries_however_many() -> None:
    mount, _ = frame()
    casts = [builders.cast(f"2016.{n}") for n in range(1, 31)]
    stands(mount, casts[0])
    counts = []
    for n in (3, 30):
        with CaptureQueriesContext(connection) as queries:
            what_hinders_any([Subject(c) for c in casts[:n]], "move")
        counts.append(len(queries))
    assert counts[0] == counts[1] <= 5


def test_loads_of_many_mounts_take_as_many_queries_as_of_one() -> None:
    places = tree()
    counts = []
    for n in range(1, 13):
        mount = actions.add_mount(builders.ottilie(), MountSaid("board", f"Board {n}", stands_in=places["H"]))
        for number in ("1", "2"):
            foot(mount, number)
        cast = builders.cast(f"2016.{n}")
        for p in range(1, 4):
            builders.piece(cast, str(p), mass_g=D(100))
        stands(mount, cast)
        if n in (2, 12):
            with CaptureQueriesContext(connection) as queries:
                reads.loads_of(list(reads.mounts(builders.imke())))
            counts.append(len(queries))
    assert counts[0] == counts[1]
