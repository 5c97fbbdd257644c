"""How much of a cast is accounted for: by mass, by break faces, by chambers. Pure. The three are never averaged.

By mass: present / (poured - sprue - recovered - lost - left in the ground), first-order uncertainty (GUM 5.1.2).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog.casts.mass_balance import Weighed, width_g

MASS, FACES, CHAMBERS = "mass", "break faces", "chambers"


# g of set plaster for each g of hemihydrate, with the water it binds: 1 + 1.5 * 18.015 / 145.1415 (atomic weights of IUPAC)
SET_PER_G = 1 + Decimal("27.0225") / Decimal("145.1415")


def dry_of_plaster(powder_g: Decimal) -> Decimal:
    """What so much plaster weighs, set and dried to constant mass."""
    return powder_g * SET_PER_G


@dataclass(frozen=True)
class Share:
    """`share` from 0 to 1 (by mass it may be above), None with the reason in `why`; `uncertainty`: standard, None for counts."""

    by: str
    share: Decimal | None
    uncertainty: Decimal | None = None
    why: str = ""
    # how it is made up, in words: 74 of 117 faces
    of: str = ""


def by_mass(
    poured: Sequence[Weighed], not_of_it: Sequence[Weighed], present: Sequence[Weighed | None], *, wet: bool = False
) -> Share:
    """`not_of_it`: sprue, recovered, spilt, left in the ground. `present`: pieces and crumbs, None for one not weighed."""
    if not poured:
        return Share(MASS, None, why="Nobody wrote how much was poured.")
    if not present:
        return Share(MASS, None, why="No piece is weighed yet.")
    here = [p for p in present if p is not None]
    if wet or any(p.state == "wet" for p in here):
        return Share(MASS, None, why="Not yet: some of it was weighed wet.")
    if len(here) < len(present):
        return Share(MASS, None, why=f"Not yet: {len(present) - len(here)} of {len(present)} are not weighed.")
    expected = _sum(poured) - _sum(not_of_it)
    if expected <= 0:
        return Share(MASS, None, why="Less was poured than is written off as sprue and recovered. Compare the masses.")
    share = _sum(here) / expected
    relative = ((_u(here) / _sum(here)) ** 2 if _sum(here) else Decimal(0)) + (
        _u([*poured, *not_of_it]) / expected
    ) ** 2
    u = share * relative.sqrt()
    too_much = share - 1 > 2 * u
    why = "More is here than was poured: soil, glue, water, or the wrong lot?" if too_much else ""
    return Share(MASS, share, u, why)


def _sum(rows: Sequence[Weighed]) -> Decimal:
    return sum((r.mass_g for r in rows), Decimal(0))


def _u(rows: Sequence[Weighed]) -> Decimal:
    return sum((width_g(r) ** 2 for r in rows), Decimal(0)).sqrt()


def by_faces(n_faces: int, n_natural_ends: int, n_joins: int, *, n_pieces: int) -> Share:
    """Closed faces over those that were ever broken: two a standing join. Counted, so without an uncertainty."""
    broken = n_faces - n_natural_ends
    if n_pieces <= 1 and broken == 0:
        return Share(FACES, Decimal(1), of="no break recorded")
    if n_faces == 0:
        return Share(FACES, None, why="No break faces are recorded yet.")
    if broken == 0:
        return Share(FACES, Decimal(1), of="no break recorded")
    return Share(FACES, Decimal(2 * n_joins) / Decimal(broken), of=f"{2 * n_joins} of {broken} faces")


def by_chambers(n_found: int, n_expected: int | None) -> Share:
    """Chambers found of those that a survey or a field note expects; without one only `at least so many`."""
    if not n_expected:
        found = f"At least {n_found}; nobody wrote how many there were." if n_found else "No chambers are named yet."
        return Share(CHAMBERS, None, why=found)
    return Share(CHAMBERS, Decimal(n_found) / Decimal(n_expected), of=f"{n_found} of {n_expected}")
