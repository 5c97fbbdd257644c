"""The search: faces laid on shelves by depth, side and kind, each in order of size, so that only near ones are compared.

A face is scored against the twenty nearest in size on either side of each shelf within reach: pieces times a bounded
number of candidates, after one sorting. Depth alone would leave it quadratic: a large nest lies in few lifts. Pure.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from math import ceil, floor, log
from operator import attrgetter
from typing import NamedTuple

from catalog.casts.refitting.faces import Face, Weights
from catalog.casts.refitting.score import (
    NOTHING,
    Depth,
    Form,
    Sizes,
    depth_part,
    form,
    gap_cm,
    kind_part,
    pour_part,
    side_part,
    spread,
)

WINDOW = 20
MOST_DEPTHS = 60
STEP_CM = 5
# a score so low that it is none: the face is scored on a shelf of its own pour
ELSEWHERE = -500.0
Own = tuple[str, str]
Measured = tuple[int, bool, bool]
Row = tuple[float, float, float, float, float]


class Key(NamedTuple):
    """One shelf: a depth ("" holds every depth), a side, a kind, a pour with its shaft (None holds every pour)."""

    depth: Depth | str
    side: str
    kind: str
    own: Own | None


class Laid:
    """All faces in order of their id, with what the score needs of each as columns."""

    def __init__(self, faces: Sequence[Face], weights: Weights, usual: Sizes) -> None:
        self.faces = sorted(faces, key=attrgetter("id"))
        self.weights = weights
        logs = [log(f.size_mm) if f.size_mm else None for f in self.faces]
        ratios = [log(f.across_mm / f.size_mm) if f.size_mm and f.across_mm else None for f in self.faces]
        e2 = sum(f.u_rel**2 for f in self.faces) / max(len(self.faces), 1) + weights.chip**2
        self.sizes = spread([x for x in logs if x is not None], e2, usual)
        self.ratios = spread([x for x in ratios if x is not None], 2 * e2, Sizes(log(0.85), 0.01))
        # a face without a size is looked for where the middle sizes are, and scores nothing for it
        self.d = [x - self.sizes.mean if x is not None else 0.0 for x in logs]
        self.r = [x - self.ratios.mean if x is not None else 0.0 for x in ratios]
        self.measured: list[Measured] = [
            (round(f.u_rel * 100), x is not None, r is not None)
            for f, x, r in zip(self.faces, logs, ratios, strict=True)
        ]
        self.own: list[Own] = [(f.pour, f.shaft) for f in self.faces]
        self._forms: dict[tuple[Measured, Measured], tuple[Form, Form]] = {}
        self.depth = _depths(self.faces)
        self.pieces = [f.piece for f in self.faces]

    def forms(self, one: Measured, other: Measured) -> tuple[Form, Form]:
        """How the sizes, and how the ratios of two faces are scored that were measured so."""
        found = self._forms.get((one, other))
        if found is None:
            a, b = self._e2(one), self._e2(other)
            size = form(self.sizes.variance, a, b) if one[1] and other[1] else NOTHING
            ratio = form(self.ratios.variance, 2 * a, 2 * b) if one[2] and other[2] else NOTHING
            found = self._forms[one, other] = (size, ratio)
        return found

    def _e2(self, measured: Measured) -> float:
        """Squared noise; the uncertainty is taken in whole percents, so that few forms serve all faces."""
        return max((measured[0] / 100) ** 2 + self.weights.chip**2, 1e-6)


def _depths(faces: Sequence[Face]) -> list[Depth]:
    """Each face's interval; where nearly every piece has one of its own, widened to whole steps so that few are left."""
    depths = [face.depth for face in faces]
    if len({depth for depth in depths if depth}) <= MOST_DEPTHS:
        return depths
    return [
        (floor(d[0] / STEP_CM) * STEP_CM, max(ceil(d[1] / STEP_CM), floor(d[0] / STEP_CM) + 1) * STEP_CM) if d else None
        for d in depths
    ]


class Shelf:
    """Faces of one key in order of size; what each adds to a score is reckoned once for each way of measuring."""

    def __init__(self, laid: Laid, who: list[int]) -> None:
        self._laid = laid
        self.who = sorted(who, key=lambda i: (laid.d[i], i))
        self.d = [laid.d[i] for i in self.who]
        self._rows: dict[tuple[Measured, Own | None], list[Row]] = {}

    def scores(self, i: int, base: float, own: Own | None) -> tuple[list[int], list[float]]:
        """The nearest in size to face i, and their scores. With an `own`, those that have shelves for it are left out."""
        laid = self._laid
        d, r = laid.d[i], laid.r[i]
        dd, rr = d * d, r * r
        rows, who = self._rows_for(laid.measured[i], own), self.who
        if len(who) > 2 * WINDOW:
            middle = bisect_left(self.d, d)
            near = slice(max(middle - WINDOW, 0), middle + WINDOW)
            rows, who = rows[near], who[near]
        return who, [base + p + dd * q + d * s + rr * t + r * u for p, q, s, t, u in rows]

    def _rows_for(self, one: Measured, own: Own | None) -> list[Row]:
        rows = self._rows.get((one, own))
        if rows is None:
            rows = self._rows[one, own] = [self._row(one, own, j) for j in self.who]
        return rows

    def _row(self, one: Measured, own: Own | None, j: int) -> Row:
        laid = self._laid
        d, r = laid.d[j], laid.r[j]
        size, ratio = laid.forms(one, laid.measured[j])
        fixed = size.c + size.a2 * d * d + ratio.c + ratio.a2 * r * r
        if own is not None:
            fixed += pour_part(own, laid.own[j], laid.weights) or ELSEWHERE
        return fixed, size.a1, size.b * d, ratio.a1, ratio.b * r


class Shelves:
    """All shelves of a cast, and for each kind of face those within its reach."""

    def __init__(self, laid: Laid) -> None:
        self._laid = laid
        self._own_apart = len(set(laid.own)) > 1
        laid_out: dict[Key, list[int]] = defaultdict(list)
        unknown = any(depth is None for depth in laid.depth)
        for i, face in enumerate(laid.faces):
            for depth in [laid.depth[i], *([""] if unknown else [])]:
                for own in [None, *([laid.own[i]] if self._own_apart else [])]:
                    laid_out[Key(depth, face.side, face.kind, own)].append(i)
        self._shelves = {key: Shelf(laid, who) for key, who in laid_out.items()}
        self._by_depth: dict[Depth | str, list[Key]] = defaultdict(list)
        for key in sorted(self._shelves, key=repr):
            self._by_depth[key.depth].append(key)
        self._reach: dict[Key, list[tuple[Shelf, float, Own | None]]] = {}

    def scored(self, i: int) -> tuple[list[int], list[float]]:
        """Candidates of face i and their scores, in no order; its own piece's faces are still among them."""
        face, laid = self._laid.faces[i], self._laid
        ids: list[int] = []
        scores: list[float] = []
        for shelf, base, own in self._within_reach(Key(laid.depth[i], face.side, face.kind, laid.own[i])):
            who, scored = shelf.scores(i, base, own)
            ids += who
            scores += scored
        return ids, scores

    def _within_reach(self, of: Key) -> list[tuple[Shelf, float, Own | None]]:
        """Shelves to look through. One pour's own where it may be the same, those of every pour for all others."""
        if of in self._reach:
            return self._reach[of]
        apart = self._own_apart and of.own is not None and any(of.own)
        found = []
        for depth in self._near(of.depth):
            for key in self._by_depth[depth]:
                if key.own is None:
                    found.append((self._shelves[key], self._base(of, key), of.own if apart else None))
                elif apart and of.own and pour_part(of.own, key.own, self._laid.weights) == 0:
                    found.append((self._shelves[key], self._base(of, key), None))
        self._reach[of] = found
        return found

    def _near(self, depth: Depth | str) -> list[Depth | str]:
        if not isinstance(depth, tuple):
            return [""]
        widest = self._laid.weights.widest_gap_cm
        known = [d for d in self._by_depth if isinstance(d, tuple) and (gap_cm(depth, d) or 0) <= widest]
        return [*known, *([None] if None in self._by_depth else [])]

    def _base(self, of: Key, key: Key) -> float:
        weights, mine, theirs = self._laid.weights, of.depth, key.depth
        depth = 0.0
        if isinstance(mine, tuple) and isinstance(theirs, tuple):
            depth = depth_part(mine, of.side, theirs, key.side, weights)
        return depth + side_part(of.side, key.side, weights) + kind_part(of.kind, key.kind, weights)
