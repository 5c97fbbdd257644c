"""Which pieces hang together by their joins, and what one join or piece alone holds. Pure.

Pieces are nodes, standing joins edges; two pieces may have several joins. Union-find for sections; depth-first low-link
(Tarjan 1974, from memory) for bridges and cut pieces, without recursion: 600 pieces may stand in a row.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TypeVar

N = TypeVar("N", bound=Hashable)


def sections(pieces: Sequence[N], joins: Iterable[tuple[N, N]]) -> list[tuple[N, ...]]:
    """Groups in the order of their first piece; a piece without a join is a section of one.

    A join to a piece that is not among `pieces` is left out; `left_out` names it. O((V + E) a(V)).
    """
    parent: dict[N, N] = {p: p for p in pieces}

    def root(p: N) -> N:
        while parent[p] != p:
            parent[p] = parent[parent[p]]
            p = parent[p]
        return p

    for a, b in joins:
        if a in parent and b in parent:
            parent[root(b)] = root(a)
    groups: dict[N, list[N]] = {}
    for p in pieces:
        groups.setdefault(root(p), []).append(p)
    return [tuple(group) for group in groups.values()]


def left_out(pieces: Iterable[N], joins: Iterable[tuple[N, N]]) -> list[int]:
    """Places in `joins` of those that tie a piece that is not here."""
    here = set(pieces)
    return [i for i, (a, b) in enumerate(joins) if a not in here or b not in here]


@dataclass(frozen=True)
class Weak:
    """Where one failure parts a section: `bridges` as places in the list of joins, `cut_pieces` in the order of pieces."""

    bridges: list[int] = field(default_factory=list)
    cut_pieces: list[object] = field(default_factory=list)


@dataclass
class _Walk:
    """Discovery order and low-link of each piece, filled as the walk goes on."""

    seen: dict[object, int] = field(default_factory=dict)
    low: dict[object, int] = field(default_factory=dict)
    bridges: list[int] = field(default_factory=list)
    cuts: set[object] = field(default_factory=set)


def weak_points(pieces: Sequence[N], joins: Sequence[tuple[N, N]]) -> Weak:
    """Bridges and cut pieces. Several joins between the same two pieces are no bridge. O(V + E)."""
    ties: dict[object, list[tuple[object, int]]] = {p: [] for p in pieces}
    for i, (a, b) in enumerate(joins):
        if a in ties and b in ties and a != b:
            ties[a].append((b, i))
            ties[b].append((a, i))
    walk = _Walk()
    for p in pieces:
        if p not in walk.seen:
            _walk_from(p, ties, walk)
    return Weak(sorted(walk.bridges), [p for p in pieces if p in walk.cuts])


def _walk_from(start: object, ties: Mapping[object, list[tuple[object, int]]], walk: _Walk) -> None:
    walk.seen[start] = walk.low[start] = len(walk.seen)
    stack = [(start, -1, iter(ties[start]))]
    branches = 0
    while stack:
        at, came_by, rest = stack[-1]
        step = next(rest, None)
        if step is not None:
            to, by = step
            if by == came_by:
                continue
            if to in walk.seen:
                walk.low[at] = min(walk.low[at], walk.seen[to])
                continue
            walk.seen[to] = walk.low[to] = len(walk.seen)
            stack.append((to, by, iter(ties[to])))
            continue
        stack.pop()
        if not stack:
            break
        above = stack[-1][0]
        branches += above == start
        _close(at, above, came_by, start, walk)
    if branches > 1:
        walk.cuts.add(start)


def _close(at: object, above: object, came_by: int, start: object, walk: _Walk) -> None:
    walk.low[above] = min(walk.low[above], walk.low[at])
    if walk.low[at] > walk.seen[above]:
        walk.bridges.append(came_by)
    if walk.low[at] >= walk.seen[above] and above != start:
        walk.cuts.add(above)


@dataclass(frozen=True)
class Carried:
    """One join that alone holds `mass_g`, which is `share` of its section: the lighter side."""

    join: int
    mass_g: Decimal
    share: Decimal


def carried(
    pieces: Sequence[N], joins: Sequence[tuple[N, N]], mass_g: Mapping[N, Decimal | None], *, most: int = 3
) -> list[Carried]:
    """The bridges that hold most, heaviest first; none in a section with a piece that was not weighed."""
    found = []
    of = {p: group for group in sections(pieces, joins) for p in group}
    for bridge in weak_points(pieces, joins).bridges:
        group = of[joins[bridge][0]]
        if any(mass_g.get(p) is None for p in group):
            continue
        inside = [j for i, j in enumerate(joins) if i != bridge and j[0] in group and j[1] in group]
        sides = [sum((mass_g[p] or Decimal(0) for p in side), Decimal(0)) for side in sections(group, inside)]
        whole = sum(sides, Decimal(0))
        if whole:
            found.append(Carried(bridge, min(sides), min(sides) / whole))
    return sorted(found, key=lambda c: -c.mass_g)[:most]
