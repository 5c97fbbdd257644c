"""From what is written in a field book to a point on WGS84 with its radius, and to what others read of it. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from catalog.excavations import radius
from catalog.excavations.coordinates import read_coordinates
from catalog.excavations.datum import to_wgs84
from catalog.excavations.distance import far_from_others
from catalog.excavations.generalised import generalisation_words, generalised

# how a place was fixed: a receiver's own figure holds only half of its fixes, so it is counted double (`radius`)
RECEIVER, MAP, BOOK, OTHER = "receiver", "map", "field book", "otherwise"
HOW_FIXED = [
    (RECEIVER, "By a phone or receiver"),
    (MAP, "Read off a map"),
    (BOOK, "Copied from a field book"),
    (OTHER, "Otherwise"),
]
DATUM_WORDS = {"unknown": "not known"}
REGION_ONLY = "The place is kept back; only the region is given"
FAR_FROM_SITE_M = 50_000
_FARTHEST_M = 20_040_000  # half round the earth
_EXACT, _SHOWN = Decimal("0.0000001"), Decimal("0.00001")


@dataclass(frozen=True)
class PlaceSaid:
    """A place as it was written. `fixed_by` is one of `HOW_FIXED`, `fixed_words` says it closer; `within_m` as stated."""

    text: str
    datum: str = "WGS84"
    fixed_by: str = ""
    fixed_words: str = ""
    within_m: Decimal | None = None
    elevation_m: Decimal | None = None
    words: str = ""

    @property
    def how_fixed(self) -> str:
        return ", ".join(part for part in (self.fixed_by, self.fixed_words.strip()) if part)


@dataclass(frozen=True)
class Placed:
    """A point in degrees on WGS84 and its radius in whole metres; `doubts` are sentences: kept, but worth a look."""

    lat: Decimal
    lon: Decimal
    within_m: int
    form: str
    doubts: list[str]


@dataclass(frozen=True)
class Shown:
    """What others than the registrar and the keeper read of a place; no point at all where only the region is given, no `how` as it is."""

    lat: Decimal | None
    lon: Decimal | None
    within_m: int | None
    how: str


def placed(said: PlaceSaid, *, comma: bool | None = None) -> Placed:
    """Reads a place. `comma`: whether a comma is the collection's decimal sign.

    ValueError with a sentence: off the planet, a datum that is not used there, nothing that can be read.
    """
    fix = read_coordinates(said.text, comma=comma, datum=said.datum)
    moved = to_wgs84(fix.lat, fix.lon, said.datum)
    stated = float(said.within_m or 0)
    if not 0 <= stated <= _FARTHEST_M:
        raise ValueError("Half round the earth is 20 040 km: no place is farther off than that. Write it in metres.")
    by_receiver = said.fixed_by == RECEIVER
    within_m = radius.radius_m(
        fix.precision_m,
        receiver_m=stated if by_receiver else 0.0,
        stated_m=0.0 if by_receiver else stated,
        datum_m=moved.added_m,
    )
    return Placed(_exactly(moved.lat), _exactly(moved.lon), min(within_m, _FARTHEST_M), fix.form, fix.flags)


def _exactly(angle: float) -> Decimal:
    return Decimal(str(angle)).quantize(_EXACT, ROUND_HALF_EVEN)


def doubts_of(point: Placed, others: Iterable[tuple[Decimal, Decimal, int]]) -> list[str]:
    """The point's own doubts, and whether it lies far from the site's other excavations.

    `others`: latitude, longitude and radius in metres as whoever asks may read them, so that no answer tells more.
    """
    places = list(others)
    limit_m = FAR_FROM_SITE_M + max((within for *_, within in places), default=0)
    near = [(float(lat), float(lon)) for lat, lon, _ in places]
    far = far_from_others(float(point.lat), float(point.lon), near, limit_m=limit_m)
    return point.doubts + ([far] if far else [])


def shown(lat: Decimal, lon: Decimal, within_m: int, category: str | None) -> Shown:
    """What others read of a point, by the category of its site; None (no site) counts as 2."""
    if category == "1":
        return Shown(None, None, None, REGION_ONLY)
    kept = generalised(lat, lon, within_m, "2" if category is None else category)
    words = generalisation_words(kept) or ""
    return Shown(kept.lat.quantize(_SHOWN), kept.lon.quantize(_SHOWN), kept.within_m, words)


def cell_side_deg(category: str | None) -> Decimal | None:
    """The side of the cell that stands for a point of this category, in degrees; None where it is shown as it is, or not at all."""
    if category in ("1", "none"):
        return None
    return generalised(Decimal(0), Decimal(0), 1, "2" if category is None else category).precision


def less_strict(before: str | None, after: str | None) -> bool:
    """Whether a place would be kept back less than before. No site counts as category 2."""
    order = ["1", "2", "3", "4", "none"]
    return order.index(after or "2") > order.index(before or "2")
