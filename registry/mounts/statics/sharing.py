"""How one weight is shared by supports: exact for two and three, two answers for more.

More than three supports, or three in a row, are not determined by statics (Garcia, Wood, Barrera-Mora 2015, Appl. Math.
6:599): `even` is what each carries if all sit equally, `worst` the most that each may carry however the body wobbles.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from registry.mounts.statics.bodies import Point

# three in a row: nearer to one line than a millimetre in a metre
_IN_ROW = Fraction(1, 1000)
Loads = list[Fraction]


@dataclass(frozen=True)
class Shared:
    """Loads in the order of the supports, in the unit of the weight. `tips`: the centre of mass is not over them.

    `worst` None: pushing supports could not hold it, or it is held both ways by more than statics can tell.
    `beside_mm`: how far the centre lies beside supports that stand in a row.
    """

    even: Loads
    worst: Loads | None
    determined: bool
    tips: bool = False
    beside_mm: float = 0


def share(weight: Fraction, at: Point, supports: Sequence[Point], *, both_ways: bool = False) -> Shared:
    """What each support carries of `weight` at `at`. `both_ways`: the supports also pull. ValueError without supports."""
    if not supports:
        raise ValueError("A weight needs a support.")
    if len(supports) == 1:
        return Shared([weight], [weight], True, beside_mm=_apart(at, supports[0]))
    line = _row(supports)
    if line is not None:
        return _in_a_row(weight, at, supports, line, both_ways)
    if len(supports) == 3:
        return _by_three(weight, at, supports, both_ways)
    return _by_many(weight, at, supports, both_ways)


def _apart(a: Point, b: Point) -> float:
    return float((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5


def _cross(o: Point, a: Point, b: Point) -> Fraction:
    """Twice the area of the triangle, positive counter-clockwise."""
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])


def _row(supports: Sequence[Point]) -> tuple[Point, Point] | None:
    """The two outermost supports where all stand in a row; None otherwise."""
    a, b = max(combinations(supports, 2), key=lambda pair: _square(*pair))
    long = _square(a, b)
    if long == 0:
        return a, b
    off = max(abs(_cross(a, b, p)) / long for p in supports)
    return (a, b) if off <= _IN_ROW else None


def _square(a: Point, b: Point) -> Fraction:
    return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2


# in a row: the lever


def _in_a_row(
    weight: Fraction, at: Point, supports: Sequence[Point], line: tuple[Point, Point], both_ways: bool
) -> Shared:
    a, b = line
    long = _square(a, b)
    if long == 0:
        raise ValueError("These supports stand in one spot. Write where each of them is.")

    def along(p: Point) -> Fraction:
        return ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / long

    beside = abs(float(_cross(a, b, at))) / float(long) ** 0.5
    where, spots = along(at), [along(p) for p in supports]
    tips = not min(spots) <= where <= max(spots)
    if len(supports) == 2:
        loads = list(lever(weight, where - spots[0], spots[1] - spots[0]))
        return Shared(loads, loads if both_ways or not tips else None, True, tips and not both_ways, beside)
    even = _even_in_row(weight, where, spots, drop=not (both_ways or tips))
    worst = None if tips else _worst_of_pairs(weight, where, spots)
    return Shared(even, worst, False, tips and not both_ways, beside)


def lever(weight: Fraction, a: Fraction, between: Fraction) -> tuple[Fraction, Fraction]:
    """Loads on A and B, `between` apart, of a weight `a` from A. Below nought: it lifts off there."""
    on_b = weight * a / between
    return weight - on_b, on_b


def _worst_of_pairs(weight: Fraction, where: Fraction, spots: Sequence[Fraction]) -> Loads:
    worst = [Fraction(0)] * len(spots)
    for i, j in combinations(range(len(spots)), 2):
        if spots[i] == spots[j] or not min(spots[i], spots[j]) <= where <= max(spots[i], spots[j]):
            continue
        on_i, on_j = lever(weight, where - spots[i], spots[j] - spots[i])
        worst[i], worst[j] = max(worst[i], on_i), max(worst[j], on_j)
    return _under_it_in_row(weight, where, spots, worst)


def _under_it_in_row(weight: Fraction, where: Fraction, spots: Sequence[Fraction], worst: Loads) -> Loads:
    return [weight if spot == where else load for spot, load in zip(spots, worst, strict=True)]


def _even_in_row(weight: Fraction, where: Fraction, spots: Sequence[Fraction], *, drop: bool) -> Loads:
    """A straight line of loads along the row; what would lift off is left out and the rest shared again."""
    left = list(range(len(spots)))
    while True:
        n = len(left)
        mean = sum((spots[i] for i in left), Fraction(0)) / n
        spread = sum(((spots[i] - mean) ** 2 for i in left), Fraction(0))
        tilt = (where - mean) * weight / spread if spread else Fraction(0)
        loads = {i: weight / n + tilt * (spots[i] - mean) for i in left}
        lifted = [i for i in left if loads[i] < 0]
        if not drop or not lifted:
            return [loads.get(i, Fraction(0)) for i in range(len(spots))]
        left = [i for i in left if i not in lifted]


# three: the triangle


def triangle(weight: Fraction, at: Point, corners: Sequence[Point]) -> tuple[Fraction, Fraction, Fraction]:
    """Loads on three supports: each has the share of the triangle opposite to it. Below nought: it lifts off there."""
    a, b, c = corners
    whole = _cross(a, b, c)
    return (
        weight * _cross(at, b, c) / whole,
        weight * _cross(a, at, c) / whole,
        weight * _cross(a, b, at) / whole,
    )


def _by_three(weight: Fraction, at: Point, supports: Sequence[Point], both_ways: bool) -> Shared:
    loads = list(triangle(weight, at, supports))
    tips = min(loads) < 0 and not both_ways
    return Shared(loads, None if tips else loads, True, tips)


# more than three


def _by_many(weight: Fraction, at: Point, supports: Sequence[Point], both_ways: bool) -> Shared:
    worst = _worst_of_threes(weight, at, supports)
    tips = worst is None
    even = _even(weight, at, supports, drop=not (both_ways or tips))
    return Shared(even, worst, False, tips and not both_ways)


def _worst_of_threes(weight: Fraction, at: Point, supports: Sequence[Point]) -> Loads | None:
    """The most that each may carry: over all threes whose triangle holds the centre. None where there is none."""
    worst: Loads | None = None
    for which in combinations(range(len(supports)), 3):
        corners = [supports[i] for i in which]
        if _cross(*corners) == 0:
            continue
        loads = triangle(weight, at, corners)
        if min(loads) < 0:
            continue
        worst = worst or [Fraction(0)] * len(supports)
        for i, load in zip(which, loads, strict=True):
            worst[i] = max(worst[i], load)
    return worst


def _even(weight: Fraction, at: Point, supports: Sequence[Point], *, drop: bool) -> Loads:
    """A plane of loads over equally stiff supports (least norm); what would lift off is left out, the rest shared again."""
    left = list(range(len(supports)))
    while True:
        loads = _plane(weight, at, [supports[i] for i in left])
        lifted = [i for i, load in zip(left, loads, strict=True) if load < 0]
        if not drop or not lifted:
            found = dict(zip(left, loads, strict=True))
            return [found.get(i, Fraction(0)) for i in range(len(supports))]
        left = [i for i in left if i not in lifted]
        if _row([supports[i] for i in left]) is not None:
            part = share(weight, at, [supports[i] for i in left]).even
            found = dict(zip(left, part, strict=True))
            return [found.get(i, Fraction(0)) for i in range(len(supports))]


def _plane(weight: Fraction, at: Point, supports: Sequence[Point]) -> Loads:
    """R = a + b x + c y through three equations: sum of loads, and of moments about both axes; x and y from the middle."""
    n = len(supports)
    mx, my = sum((p[0] for p in supports), Fraction(0)) / n, sum((p[1] for p in supports), Fraction(0)) / n
    xs, ys = [p[0] - mx for p in supports], [p[1] - my for p in supports]
    xx = sum((x * x for x in xs), Fraction(0))
    yy = sum((y * y for y in ys), Fraction(0))
    xy = sum((x * y for x, y in zip(xs, ys, strict=True)), Fraction(0))
    turn_x, turn_y = weight * (at[0] - mx), weight * (at[1] - my)
    whole = xx * yy - xy * xy
    b, c = (turn_x * yy - turn_y * xy) / whole, (turn_y * xx - turn_x * xy) / whole
    return [weight / n + b * x + c * y for x, y in zip(xs, ys, strict=True)]
