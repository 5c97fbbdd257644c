"""Places of the station, and things put there."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from catalog.casts.models import Cast
from catalog.casts.subject import Subject
from registry.places import actions
from registry.places.models import Movement, Place
from tests import builders


def tree() -> dict[str, Place]:
    """Station > Store > Bay B > Shelf 3 > crate K-12; Bay A > another Shelf 3; the stair hall with its frame; a van."""
    imke = builders.imke()

    def add(code: str, name: str, kind: str, parent: Place | None = None, **more: Any) -> Place:
        return actions.add_place(imke, code, name, kind, parent=parent, **more)

    station = add("TH", "Tarn Holm station", "station")
    store = add("ST", "Store", "building", station)
    bay_a, bay_b = add("A", "Bay A", "bay", store), add("B", "Bay B", "bay", store)
    other, shelf = add("A-3", "Shelf 3", "shelf", bay_a), add("B-3", "Shelf 3", "shelf", bay_b)
    crate, tray = add("K-12", "Crate 12", "crate", shelf), add("T-7", "Tray 7", "tray", bay_a)
    hall = add("H", "Stair hall", "room", station)
    frame, van = add("F-1", "Frame 1", "frame", hall), add("VAN-1", "Van 1", "van", station)
    all_ = (station, store, bay_a, bay_b, other, shelf, crate, tray, hall, frame, van)
    return {p.code: p for p in all_}


def put(cast: Cast, to: Place, *, days_ago: float = 0, **more: Any) -> Movement:
    """Moved there by the registrar, so many days ago."""
    at = timezone.now() - timedelta(days=days_ago) if days_ago else None
    return actions.move(builders.imke(), Subject(cast), to, at=at, **more)


def carry(container: Place, to: Place, *, days_ago: float = 0, **more: Any) -> Movement:
    at = timezone.now() - timedelta(days=days_ago) if days_ago else None
    return actions.move(builders.imke(), container, to, at=at, **more)


def asked(client: Any, address: str) -> int:
    """How many queries a page or a resource takes, the second time it is asked for."""
    client.get(address)
    with CaptureQueriesContext(connection) as queries:
        assert client.get(address).status_code == 200, address
    return len(queries)


_keys = iter(range(1, 100_000))


def key() -> str:
    """A fresh Idempotency-Key."""
    return f"a-key-of-this-test-{next(_keys):06d}"
