"""Seeded collections for the bench: small (200 casts, 6 000 pieces) and large (20 000 casts, 600 000 pieces)."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime

from catalog.casts.models import Cast, FormerNumber, Piece
from catalog.casts.numbers import sort_text
from catalog.ground.acting import store, store_many
from catalog.ground.search import squeeze, write
from catalog.taxa.models import Taxon
from registry.places.models import Place, Placement
from tests import builders

SIZES = {"small": (200, 6_000), "large": (20_000, 600_000)}
_ANIMALS = ["Upogebia deltaura", "Ocypode ceratophthalma", "Colletes cunicularius", "Lasius flavus", "Talpa europaea"]
_MATERIALS = ["plaster", "zinc", "aluminium", "wax", "epoxy"]
_WORDS = [
    "creek",
    "dune",
    "marsh",
    "meadow",
    "shaft",
    "gallery",
    "chamber",
    "spiral",
    "heavy",
    "pale",
    "broken",
    "joined",
    "seaward",
    "landward",
    "shell",
    "clay",
]
_BATCH = 5_000


def fill(size: str) -> Cast:
    """Fills an empty database; returns a cast of 180 pieces. History rows are left out: nothing measured here reads them."""
    n_casts, n_pieces = SIZES[size]
    rng = random.Random(20261125)
    actor = builders.imke()
    with builders.by_hand(actor):
        taxa = [store(Taxon(name=name, common_name=name.split()[0].lower())) for name in _ANIMALS]
        places = [store(Place(code=f"S-{n}", name=f"Shelf {n}", kind="shelf")) for n in range(40)]
        casts = _casts(rng, n_casts, taxa)
        _pieces(rng, casts, n_pieces)
        _placements(rng, casts, places)
        store_many([FormerNumber(cast=c, text=f"Nest {c.pk}", key=squeeze(f"Nest {c.pk}")) for c in casts[::7]][:3000])
        for cast in casts:
            write("cast", cast.pk, cast.search_entries())
    return casts[-1]


def _frame() -> dict[str, object]:
    now = datetime(2026, 11, 25, tzinfo=UTC)
    return {"created_at": now, "changed_at": now}


def _casts(rng: random.Random, n: int, taxa: list[Taxon]) -> list[Cast]:
    made = []
    for i in range(n):
        year = 1990 + i % 36
        number = f"{year}.{i // 36 + 1}"
        facts = {
            "material": rng.choice(_MATERIALS),
            "taxon": rng.choice(taxa),
            "year": year,
            "kind": "cast of nest",
            "mass_g": rng.randrange(100, 40_000),
        }
        note = " ".join(rng.sample(_WORDS, 6))
        made.append(
            Cast(
                number=number,
                sort=sort_text(number),
                description=f"Cast {i} of a nest",
                note=note,
                n_parts=1,
                made_earliest=date(year, 1, 1),
                **facts,
                **_frame(),
            )
        )
    return Cast.objects.bulk_create(made, batch_size=_BATCH)


def _pieces(rng: random.Random, casts: list[Cast], n: int) -> None:
    """A third of the casts have most of the pieces; the last one has 180."""
    wanted = {c.pk: 0 for c in casts}
    wanted[casts[-1].pk] = 180
    many = list(casts[:-1:3])
    left = n - 180
    while left > 0:
        for cast in many:
            k = min(left, rng.randrange(60, 120))
            wanted[cast.pk] += k
            left -= k
            if left <= 0:
                break
    batch: list[Piece] = []
    for cast in casts:
        for suffix in range(1, wanted[cast.pk] + 1):
            text = str(suffix)
            batch.append(
                Piece(
                    cast=cast,
                    suffix=text,
                    sort=sort_text(text),
                    kind="tunnel",
                    mass_g=rng.randrange(5, 300),
                    **_frame(),
                )
            )
            if len(batch) >= _BATCH:
                Piece.objects.bulk_create(batch, batch_size=_BATCH)
                batch = []
    Piece.objects.bulk_create(batch, batch_size=_BATCH)


def _placements(rng: random.Random, casts: list[Cast], places: list[Place]) -> None:
    now = datetime(2026, 11, 25, tzinfo=UTC)
    rows = [Placement(cast=c, place=rng.choice(places), since=now, **_frame()) for c in casts]
    Placement.objects.bulk_create(rows, batch_size=_BATCH)
