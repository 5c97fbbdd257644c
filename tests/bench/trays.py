"""W5: eight people save rows of one tray at once, each typing up to a second between two rows, against one who does it alone."""

from __future__ import annotations

import json
import random
import statistics
import time
from collections.abc import Iterator
from uuid import uuid4

from django.test import Client

from catalog.casts.models import Piece
from registry.places.actions import add_place, begin_tray
from tests import builders
from tests.bench.table import Measure
from tests.harness.at_once import at_once

PEOPLE, ROWS = 8, 20


def saving_rows(size: str) -> Iterator[Measure]:
    """All rows are kept, none is lost or doubled; the slowest in twenty against the median of one writer."""
    cast = builders.cast("2025.6", n_parts=None)
    place = add_place(builders.imke(), "T-9", "Tray 9", "tray", movable=True)
    begin_tray(builders.saar(), place, cast)
    alone = _person(0, pause=0.0)
    floor = statistics.median(alone)
    spans = sorted(span for one in at_once([lambda n=n: _person(n, pause=1.0) for n in range(PEOPLE)]) for span in one)
    kept = Piece.objects.filter(cast=cast).count()
    assert kept == len(alone) + PEOPLE * ROWS, kept
    numbers = sorted(int(s) for s in Piece.objects.filter(cast=cast).values_list("suffix", flat=True))
    assert numbers == list(range(1, kept + 1))
    slow = spans[int(len(spans) * 0.95)]
    note = f"p95; median {statistics.median(spans):.0f} ms; {kept} kept, no gap"
    yield Measure("W5 eight people save tray rows", size, slow, floor, None, "<= 5 x floor", note)


def _person(seed: int, *, pause: float) -> list[float]:
    """Milliseconds that each row took, from the press to the answer."""
    chance = random.Random(seed)
    client, spans = builders.signed_in(Client(), "Saar Osei"), []
    for _ in range(ROWS):
        time.sleep(chance.uniform(0, pause))
        said = {
            "tray": "T-9",
            "row": str(uuid4()),
            "mass_g": f"{chance.uniform(20, 140):.1f}",
            "kind": "shaft",
            "faces": "2",
        }
        begun = time.perf_counter()
        answer = client.post(
            "/api/v1/tray-rows/", json.dumps(said), "application/json", HTTP_IDEMPOTENCY_KEY=uuid4().hex
        )
        spans.append((time.perf_counter() - begun) * 1000)
        assert answer.status_code == 201, answer.content
    return spans
