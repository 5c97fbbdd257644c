"""Lists come in the order in which people count, on every database: 2016.2 before 2016.10, piece 9 before piece 10."""

from __future__ import annotations

from importlib import import_module
from typing import Any

import pytest
from django.apps import apps
from django.db import connection
from natsort import natsorted, ns

from catalog.casts.models import Cast, Piece
from tests import builders

pytestmark = pytest.mark.django_db

NUMBERS = [
    "2016.10",
    "E-2026-2",
    "2016.2",
    "e-2026-10",
    "2016.1",
    "7b",
    "7a",
    "7",
    "2016.100",
    "K 4",
    "12",
    "E-2026-2b",
]


def test_casts_come_in_natural_order(client: Any) -> None:
    for number in NUMBERS:
        builders.cast(number)
    counted = natsorted(NUMBERS, alg=ns.IGNORECASE)  # an independent reader of natural order
    assert list(Cast.objects.order_by("sort").values_list("number", flat=True)) == counted
    builders.signed_in(client)
    by_api = [row["number"] for row in client.get("/api/v1/casts/?sort=number").json()["items"]]
    assert by_api == counted


def test_pieces_come_in_natural_order() -> None:
    cast = builders.cast()
    for suffix in ("10", "9", "4.10", "4.2", "4", "100", "1"):
        builders.piece(cast, suffix)
    ordered = list(Piece.objects.filter(cast=cast).order_by("sort").values_list("suffix", flat=True))
    assert ordered == ["1", "4", "4.2", "4.10", "9", "10", "100"]


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite compares byte by byte by itself")
def test_the_columns_are_compared_byte_by_byte_and_the_way_back_stands() -> None:
    migration = import_module("catalog.migrations.0006_numbers_in_order")

    def collations() -> set[str]:
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT a.attrelid::regclass::text, c.collname FROM pg_attribute a JOIN pg_collation c "
                "ON c.oid = a.attcollation WHERE a.attname = 'sort' AND a.attrelid::regclass::text LIKE 'catalog%' "
                "AND a.attrelid IN (SELECT oid FROM pg_class WHERE relkind = 'r')"
            )
            return {name for _, name in cursor.fetchall()}

    assert collations() == {"C"}
    with connection.schema_editor(atomic=False) as editor:
        migration.by_language(apps, editor)
    assert collations() == {"default"}
    with connection.schema_editor(atomic=False) as editor:
        migration.by_bytes(apps, editor)
    assert collations() == {"C"}
