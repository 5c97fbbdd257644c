"""Made-up casts of known truth, to measure suggestions by: seeded, made anew each time, never stored. Pure.

A nest grows piece by piece from the open end nearest the surface. All constants are ours, no source: real casts do worse.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from math import exp
from random import Random
from typing import TypeVar

from catalog.casts.refitting.faces import Face

LIFT_CM = 10
T = TypeVar("T")


@dataclass(frozen=True)
class MadeUp:
    """Faces as a person would have measured them, and which fits which: `partner[id] = id`, both ways, present ones only."""

    faces: list[Face]
    partner: dict[int, int]


@dataclass(frozen=True)
class _End:
    """An open end that the next piece may go on from: what broke there, truly."""

    depth_cm: float
    slope: float
    tunnel_mm: float
    face_mm: float
    across_mm: float
    kind: str
    shaft: int
    piece: int | None


@dataclass(frozen=True)
class _Join:
    above: int
    below: int
    end: _End


@dataclass(frozen=True)
class _Body:
    middle_cm: float
    shaft: int


def made_up_cast(
    pieces: int,
    noise: float,
    seed: int,
    *,
    up_marks: float = 0.8,
    lost: float = 0.05,
    shafts: int | None = None,
    pours: int | None = None,
) -> MadeUp:
    """A cast of about so many pieces, faces measured with relative `noise`; up-marks on that share, that share lost.

    A shaft to sixty pieces unless `shafts` says otherwise, each with a pour of its own unless `pours` shares them out.
    """
    if pieces < 2 or noise < 0 or not 0 <= up_marks <= 1 or not 0 <= lost < 1:
        raise ValueError("A made-up cast has at least two pieces; noise and shares are from 0 to below 1.")
    chance = Random(seed)
    bodies, joins = _grow(chance, pieces, shafts or max(1, round(pieces / 60)))
    here = [chance.random() >= lost for _ in bodies]
    marked = [chance.random() < up_marks for _ in bodies]
    faces: list[tuple[Face, int]] = []
    for number, join in enumerate(joins):
        for piece, side in ((join.above, "lower"), (join.below, "upper")):
            seen = _measured(chance, join.end, noise)
            if here[piece]:
                faces.append(
                    (_face(bodies[piece], piece, join.end.kind, side if marked[piece] else "", seen, noise), number)
                )
    return _shuffled(chance, faces, pours)


def _grow(chance: Random, pieces: int, shafts: int) -> tuple[list[_Body], list[_Join]]:
    ends: list[tuple[float, int, _End]] = []
    made = 0
    for shaft in range(shafts):
        made = _open(ends, _shaft(chance, shaft), made)
    bodies: list[_Body] = []
    joins: list[_Join] = []
    while len(bodies) < pieces:
        end = heappop(ends)[2]
        piece = len(bodies)
        if end.piece is not None:
            joins.append(_Join(end.piece, piece, end))
        body, outlets = _piece(chance, end, piece)
        bodies.append(body)
        for outlet in outlets:
            # a natural end, unless it would be the last open one
            if chance.random() >= 0.12 or not ends:
                made = _open(ends, outlet, made)
    return bodies, joins


def _open(ends: list[tuple[float, int, _End]], end: _End, made: int) -> int:
    heappush(ends, (end.depth_cm, made, end))
    return made + 1


def _shaft(chance: Random, shaft: int) -> _End:
    tunnel = 12 * exp(chance.gauss(0, 0.25))
    return _End(chance.uniform(0, 5), 1, tunnel, tunnel, tunnel, "tunnel", shaft, None)


def _piece(chance: Random, end: _End, piece: int) -> tuple[_Body, list[_End]]:
    """The next piece down, and the ends it leaves open."""
    slope = 1.0 if end.piece is None else min(max(end.slope + chance.gauss(0, 0.15), 0.3), 1)
    length = 6 * exp(chance.gauss(0, 0.5))
    bottom = end.depth_cm + length * slope
    broken_through = chance.random() < 0.25 and chance.random() < 0.2
    junction = not broken_through and chance.random() < 0.25
    tunnel = end.tunnel_mm * exp(chance.gauss(0, 0.08))
    if broken_through:
        wide = 40 * exp(chance.gauss(0, 0.3))
        outlets = [_End(bottom, slope, tunnel, wide, wide * chance.uniform(0.25, 0.5), "chamber", end.shaft, piece)]
    else:
        outlets = [_End(bottom, slope, tunnel, tunnel, tunnel * chance.uniform(0.8, 1), "tunnel", end.shaft, piece)]
    if junction:
        side = end.tunnel_mm * exp(chance.gauss(-0.1, 0.15))
        across = side * chance.uniform(0.8, 1)
        outlets.append(_End(bottom, chance.uniform(0.3, 1), side, side, across, "tunnel", end.shaft, piece))
    return _Body((end.depth_cm + bottom) / 2, end.shaft), outlets


def _measured(chance: Random, end: _End, noise: float) -> tuple[float, float]:
    chipped = 1 - abs(chance.gauss(0, 0.02))
    sizes = [max(true * chipped * (1 + noise * chance.gauss(0, 1)), 0.1) for true in (end.face_mm, end.across_mm)]
    return sizes[0], sizes[1]


def _face(body: _Body, piece: int, kind: str, side: str, seen: tuple[float, float], noise: float) -> Face:
    top = body.middle_cm // LIFT_CM * LIFT_CM
    pour = f"pour {body.shaft + 1}"
    return Face(0, piece, *seen, noise, kind, side, top, top + LIFT_CM, pour)


def _shuffled(chance: Random, faces: list[tuple[Face, int]], pours: int | None) -> MadeUp:
    """Numbers given in a random order, so that none betrays a partner."""
    chance.shuffle(faces)
    by_join: dict[int, list[int]] = {}
    for id_, (_, join) in enumerate(faces, 1):
        by_join.setdefault(join, []).append(id_)
    partner = {a: b for two in by_join.values() if len(two) == 2 for a, b in (two, two[::-1])}
    numbered = [replace(face, id=id_, pour=_pour(face.pour, pours)) for id_, (face, _) in enumerate(faces, 1)]
    return MadeUp(numbered, partner)


def _pour(pour: str, pours: int | None) -> str:
    return pour if pours is None else f"pour {int(pour.split()[1]) % pours + 1}"


def recall(partner: Mapping[int, T], ranked: Mapping[int, Iterable[T]]) -> float:
    """Share of the faces with a partner for which it is among those suggested, 0 to 1."""
    hit = sum(true in set(ranked.get(face, ())) for face, true in partner.items())
    return hit / len(partner) if partner else 0.0


def chance(cast: MadeUp, drawn: int = 5) -> float:
    """What drawing so many at random from the same and the neighbouring lifts would give, 0 to 1: the floor of a recall."""
    by_lift: dict[float, int] = {}
    for face in cast.faces:
        by_lift[face.top_cm or 0] = by_lift.get(face.top_cm or 0, 0) + 1
    tops = [face.top_cm or 0 for face in cast.faces if face.id in cast.partner]
    around = [sum(by_lift.get(top + step, 0) for step in (-LIFT_CM, 0, LIFT_CM)) - 1 for top in tops]
    return sum(min(drawn / max(n, 1), 1) for n in around) / len(around) if around else 0.0
