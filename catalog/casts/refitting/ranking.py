"""Candidates weighed both ways, since a face fits once, and ranked. Pure."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import exp, sqrt
from operator import mul
from typing import NamedTuple

from catalog.casts.refitting.faces import USUAL_WEIGHTS, Face, Weights
from catalog.casts.refitting.score import USUAL_SIZES, Sizes, none_weighs, sizes_differ_z
from catalog.casts.refitting.shelves import ELSEWHERE, Laid, Shelves
from catalog.casts.refitting.words import likely, why

KEPT = 24
ROUNDS = 8
ALONE = 0.3


@dataclass(frozen=True)
class Fit:
    """A suggestion for `face`: another that may fit it, its rank from 1, its chance from 0 to 1, in words too, and why."""

    face: int
    other: int
    rank: int
    llr: float
    chance: float
    z: float | None
    likely: str
    why: str


def ranked_fits(
    faces: Sequence[Face],
    *,
    refused: Collection[frozenset[int]] = (),
    weights: Weights = USUAL_WEIGHTS,
    usual: Sizes = USUAL_SIZES,
    best: int = 5,
) -> dict[int, list[tuple[int, float, float]]]:
    """For each open face of one cast the `best` candidates by id, each with its score and its chance from 0 to 1.

    `refused` holds pairs that a person found not to fit; they never come back. `usual` stands in for the spread of sizes
    where the cast has fewer than eight. Grows as n log n. The order of the faces changes nothing.
    """
    laid = Laid(faces, weights, usual)
    shelves = Shelves(laid)
    rows = [_candidates(laid, shelves, i, refused) for i in range(len(laid.faces))]
    worth = _both_ways([row.kept for row in rows])
    ids = [face.id for face in laid.faces]
    found = {}
    for face, row in zip(ids, rows, strict=True):
        order = sorted(row.kept, key=lambda c: (-exp(c[1]) * worth[c[0]], c[0]))[:best]
        found[face] = [(ids[j], llr, exp(llr) / row.whole) for j, llr in order]
    return found


class _Row(NamedTuple):
    """The best candidates of a face with their scores, best first; `whole` weighs all of them and "none of these"."""

    kept: list[tuple[int, float]]
    whole: float


def _candidates(laid: Laid, shelves: Shelves, i: int, refused: Collection[frozenset[int]]) -> _Row:
    ids, scores = shelves.scored(i)
    barred = {j for j in ids if laid.pieces[j] == laid.pieces[i]}
    if refused:
        mine = laid.faces[i].id
        barred |= {j for j in ids if frozenset((mine, laid.faces[j].id)) in refused}
    left = [(j, s) for j, s in zip(ids, scores, strict=True) if j not in barred and s > ELSEWHERE / 2]
    shares = [exp(s) for _, s in left]
    cut = sorted(shares)[-KEPT] if len(shares) > KEPT else 0.0
    kept = sorted([pair for pair, share in zip(left, shares, strict=True) if share >= cut], key=lambda c: (-c[1], c[0]))
    return _Row(kept[:KEPT], none_weighs(len(left), laid.weights.lost) + sum(shares))


def _both_ways(candidates: Sequence[Sequence[tuple[int, float]]]) -> list[float]:
    """How much each face is still to be had: little for one that fits many better."""
    rows = [([j for j, _ in row], [exp(llr) for _, llr in row]) for row in candidates]
    worth = [1.0] * len(rows)
    for _ in range(ROUNDS):
        get = worth.__getitem__
        worth = [sqrt(x / (ALONE + sum(map(mul, ks, map(get, js))))) for x, (js, ks) in zip(worth, rows, strict=True)]
    return worth


def suggested_fits(
    faces: Sequence[Face],
    *,
    refused: Collection[frozenset[int]] = (),
    weights: Weights = USUAL_WEIGHTS,
    usual: Sizes = USUAL_SIZES,
    best: int = 5,
) -> dict[int, list[Fit]]:
    """As `ranked_fits`, each with how likely it is and why, in words."""
    by_id = {face.id: face for face in faces}
    ranked = ranked_fits(faces, refused=refused, weights=weights, usual=usual, best=best)
    return {
        face: [
            Fit(
                face,
                other,
                rank,
                llr,
                chance,
                sizes_differ_z(by_id[face], by_id[other], weights.chip),
                likely(chance),
                why(by_id[face], by_id[other], weights),
            )
            for rank, (other, llr, chance) in enumerate(row, 1)
        ]
        for face, row in ranked.items()
    }
