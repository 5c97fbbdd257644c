"""The place tree as it is drawn: opened to one place, or from the top; siblings beyond a dozen folded. Pure but for the rows."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from catalog.casts.numbers import natural_key
from registry.places.models import Place

_MOST = 12
# a tree of this many places is shown whole
_WHOLE = 150
_ICONS = {"crate": "crate", "tray": "crate", "box": "crate", "van": "van", "frame": "column"}


def drawn(places: Iterable[Place], counts: dict[int, int], *, here: int | None = None) -> list[dict[str, Any]]:
    """Nodes for look/parts/tree.html. `counts`: how much stands in each place itself; shown are sums over all below."""
    rows = {p.pk: p for p in places}
    below: dict[int | None, list[Place]] = {}
    for place in rows.values():
        below.setdefault(place.parent_id if place.parent_id in rows else None, []).append(place)
    for children in below.values():
        children.sort(key=lambda p: (p.movable, natural_key(p.name), natural_key(p.code)))
    opened = _above(rows, here)
    tree = _Tree(below, counts, opened, here, whole=here is None and len(rows) <= _WHOLE)
    return [tree.node(place, 0) for place in below.get(None, [])]


def _above(rows: dict[int, Place], here: int | None) -> set[int]:
    """Keys of the chosen place and of all it stands in."""
    found: set[int] = set()
    while here is not None and here in rows and here not in found:
        found.add(here)
        here = rows[here].parent_id
    return found


class _Tree:
    def __init__(
        self,
        below: dict[int | None, list[Place]],
        counts: dict[int, int],
        opened: set[int],
        here: int | None,
        *,
        whole: bool,
    ) -> None:
        self.below, self.counts, self.opened, self.here, self.whole = below, counts, opened, here, whole
        self.sums: dict[int, int] = {}

    def sum(self, pk: int) -> int:
        if pk not in self.sums:
            self.sums[pk] = self.counts.get(pk, 0) + sum(self.sum(p.pk) for p in self.below.get(pk, []))
        return self.sums[pk]

    def node(self, place: Place, depth: int) -> dict[str, Any]:
        children = self.below.get(place.pk, [])
        shown, more = self._folded(children, depth) if self._is_open(place.pk, depth) else ([], 0)
        return {
            "href": place.href,
            "word": place.name if not place.movable else f"{place.name}, {place.code}",
            "icon": _ICONS.get(place.kind, ""),
            "count": self.sum(place.pk),
            "here": place.pk == self.here,
            "nodes": [self.node(p, depth + 1) for p in shown],
            "more": place.href if more else "",
            "n_more": more,
        }

    def _is_open(self, pk: int, depth: int) -> bool:
        return self.whole or pk in self.opened or (self.here is None and depth < 2)

    def _folded(self, children: list[Place], depth: int) -> tuple[list[Place], int]:
        """The first dozen, and those that lead to the chosen place."""
        if len(children) <= _MOST or (self.opened and children and children[0].parent_id == self.here):
            return children, 0
        kept = [p for n, p in enumerate(children) if n < _MOST or p.pk in self.opened]
        return kept, len(children) - len(kept)
