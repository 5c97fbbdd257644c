"""A cast as a graph by depth: facts of its pieces and joins in, places of shapes out. Pure; `graph.html` draws them.

Depth is down and to scale. A piece is a cell at its depth, its area by its mass; the smallest are drawn larger, so that
they can be read. Unknown depths stand in a column of their own. Above sixty pieces: sections, and the loose ones by depth.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import ceil, sqrt

from catalog.casts.graph_layout import Box, Rect, columns, placed, round_step, segment

MOST_CELLS = 60
WIDTH, LEFT, TOP, MARGIN = 440, 52, 14, 12
LEAST_HEIGHT = 300
UNKNOWN = "depth not known"
UNKNOWN_WIDTH = 104
# what a cell or a sign means, and the classes it is drawn with; in the order of the key
CELLS = {
    "joined": "pc",
    "loose": "pc loose",
    "not weighed": "pc wet",
    "lent": "pc lent",
    "missing": "pc lost",
}
SIGNS = {"fixed": "fixed join", "dry fit": "dry fit", "failed": "failed join", "suggested": "worth trying"}
CAP = "natural end"


@dataclass(frozen=True)
class Body:
    """A piece as it is drawn: `state` is one of CELLS, `section` any key that pieces held together share."""

    id: int
    label: str
    state: str
    section: int
    href: str = ""
    top_cm: float | None = None
    bottom_cm: float | None = None
    mass_g: float | None = None
    natural_ends: int = 0

    @property
    def known(self) -> bool:
        return self.top_cm is not None and self.bottom_cm is not None


@dataclass(frozen=True)
class Tie:
    """A join, or a suggestion with its rank, between two pieces by id: `state` is one of SIGNS."""

    one: int
    other: int
    state: str
    rank: int = 0


@dataclass(frozen=True)
class Cell:
    """A rectangle with its words; `spoken` is all that it shows."""

    x: float
    y: float
    width: float
    height: float
    css: str
    label: str
    spoken: str
    href: str
    caps: list[str] = field(default_factory=list)

    @property
    def middle(self) -> tuple[float, float]:
        return self.x + self.width / 2, self.y + self.height / 2


@dataclass(frozen=True)
class Sign:
    """A line between two cells and the sign at its middle."""

    state: str
    path: str
    x: float
    y: float
    rank: int


@dataclass(frozen=True)
class Mark:
    """A mark on the depth axis: where, and how many cm."""

    y: float
    cm: str


@dataclass(frozen=True)
class Picture:
    """All that the template draws. `grouped`: sections instead of pieces. `key` names only what occurs."""

    width: float
    height: float
    axis: float
    cells: list[Cell]
    signs: list[Sign]
    marks: list[Mark]
    unknown_x: float | None
    spoken: str
    grouped: bool
    cell_key: list[tuple[str, str]]
    sign_key: list[tuple[str, str]]


def picture(bodies: Sequence[Body], ties: Iterable[Tie] = (), *, most: int = MOST_CELLS) -> Picture | None:
    """The picture of these pieces; None where there are none. Ties to pieces that are not among them are left out."""
    if not bodies:
        return None
    grouped = len(bodies) > most
    drawn, ties = _by_section(bodies, ties) if grouped else (list(bodies), list(ties))
    deepest = max((b.bottom_cm or 0 for b in drawn if b.known), default=0.0)
    boxes, height = _boxes(drawn, deepest)
    by_id = {body.id: _cell(body, rect) for body, rect in zip(drawn, boxes, strict=True)}
    signs = [sign for tie in ties if tie.one in by_id and tie.other in by_id if (sign := _sign(tie, by_id))]
    edge = max([LEFT, *(c.x + c.width for b, c in zip(drawn, by_id.values(), strict=True) if b.known)])
    unknown_x = None if all(b.known for b in drawn) else (edge + MARGIN if deepest else LEFT)
    width = max([WIDTH, *(c.x + c.width + MARGIN for c in by_id.values())])
    if unknown_x is not None:
        width = max(width, unknown_x + UNKNOWN_WIDTH)
    return Picture(
        round(width),
        round(height + 2 * TOP),
        round(height + TOP) if deepest else 0,
        list(by_id.values()),
        signs,
        _marks(deepest, height),
        unknown_x,
        _spoken(bodies, drawn, deepest, grouped),
        grouped,
        _cell_key(drawn, by_id),
        [(state, words) for state, words in SIGNS.items() if any(s.state == state for s in signs)]
        + ([("cap", CAP)] if any(c.caps for c in by_id.values()) else []),
    )


# sections first


def _by_section(bodies: Sequence[Body], ties: Iterable[Tie]) -> tuple[list[Body], list[Tie]]:
    """A cell for each section of several pieces, and one for all loose pieces of a depth; ties between those cells."""
    groups: dict[tuple[object, ...], list[Body]] = defaultdict(list)
    sizes: dict[int, int] = defaultdict(int)
    for body in bodies:
        sizes[body.section] += 1
    for body in bodies:
        alone = ("loose", *_step(body), body.state)
        groups[("section", body.section) if sizes[body.section] > 1 else alone].append(body)
    drawn: list[Body] = []
    of: dict[int, int] = {}
    for number, (key, group) in enumerate(groups.items(), 1):
        drawn.append(_group(number, group, key[0] == "section"))
        of |= {body.id: number for body in group}
    across = {
        (min(of[t.one], of[t.other]), max(of[t.one], of[t.other]), t.state)
        for t in ties
        if t.one in of and t.other in of and of[t.one] != of[t.other]
    }
    return drawn, [Tie(one, other, state) for one, other, state in sorted(across) if state != "suggested"]


def _step(body: Body) -> tuple[float, ...]:
    """Loose pieces are gathered in steps of ten centimetres by their middle."""
    if body.top_cm is None or body.bottom_cm is None:
        return ()
    return ((body.top_cm + body.bottom_cm) / 2 // 10,)


def _group(number: int, group: Sequence[Body], section: bool) -> Body:
    tops = [b.top_cm for b in group if b.top_cm is not None and b.bottom_cm is not None]
    bottoms = [b.bottom_cm for b in group if b.top_cm is not None and b.bottom_cm is not None]
    masses = [b.mass_g for b in group if b.mass_g is not None]
    first = group[0]
    return Body(
        number,
        f"{first.label} +{len(group) - 1}" if section else f"{len(group)} loose" if len(group) > 1 else first.label,
        "joined" if section else first.state,
        number,
        f"?section={first.label}" if section else first.href if len(group) == 1 else "",
        min(tops, default=None),
        max(bottoms, default=None),
        sum(masses) if masses else None,
    )


# places


def _boxes(drawn: Sequence[Body], deepest: float) -> tuple[list[Rect], float]:
    """Places for all: area by mass, smaller until they fit beside each other, then the ground stretched."""
    height, share = float(max(LEAST_HEIGHT, min(30 * len(drawn), 900))), 0.3
    for _ in range(24):
        boxes = [_box(body, drawn, share, height, deepest) for body in drawn]
        rects = _laid(drawn, boxes, height)
        if all(r.x + r.width <= WIDTH - MARGIN for r in rects):
            break
        share, height = (share * 0.7, height) if share > 0.04 else (share, height * 1.25)
    lowest = max(r.y + r.height for r in rects) - TOP
    return rects, max(height if deepest else 0.0, lowest)


def _box(body: Body, drawn: Sequence[Body], share: float, height: float, deepest: float) -> Box:
    whole = sum(b.mass_g or 0 for b in drawn)
    area = (body.mass_g or 0) / whole * share * height * (WIDTH - LEFT) if whole else 0.0
    least = 10.0 * len(body.label) + 8
    width = min(max(least, sqrt(area * 1.2)), (WIDTH - LEFT) / 2)
    tall = max(24.0, area / width)
    if not body.known or not deepest:
        return Box(width, tall, 0, 0)
    scale = height / deepest
    return Box(width, tall, TOP + (body.top_cm or 0) * scale, TOP + (body.bottom_cm or 0) * scale)


def _laid(drawn: Sequence[Body], boxes: Sequence[Box], height: float) -> list[Rect]:
    """Known depths at their depth, shallow first and sections together; the others in columns to their right."""
    known = sorted(
        (i for i, b in enumerate(drawn) if b.known), key=lambda i: (drawn[i].top_cm or 0, drawn[i].section, i)
    )
    found = dict(zip(known, placed([boxes[i] for i in known], LEFT + MARGIN), strict=True))
    edge = max((r.x + r.width for r in found.values()), default=LEFT - MARGIN) + 2 * MARGIN
    other = [i for i in range(len(drawn)) if i not in found]
    found |= dict(zip(other, columns([boxes[i] for i in other], edge, TOP + 28, height), strict=True))
    return [found[i] for i in range(len(drawn))]


def _cell(body: Body, rect: Rect) -> Cell:
    caps = []
    for n in range(body.natural_ends):
        x = rect.x + rect.width * (n + 1) / (body.natural_ends + 1)
        caps.append(f"M{x - 6:.1f} {rect.y + rect.height + 3:.1f}h12")
    return Cell(
        round(rect.x, 1),
        round(rect.y, 1),
        round(rect.width, 1),
        round(rect.height, 1),
        CELLS[body.state],
        body.label,
        _words(body),
        body.href,
        caps,
    )


def _words(body: Body) -> str:
    depth = f"{_plain(body.top_cm or 0)} to {_plain(body.bottom_cm or 0)} cm" if body.known else UNKNOWN
    mass = f"{_plain(body.mass_g)} g" if body.mass_g is not None else "no mass"
    return f"{body.label}: {body.state}, {depth}, {mass}"


def _sign(tie: Tie, cells: dict[int, Cell]) -> Sign | None:
    if tie.one == tie.other:
        return None
    one, other = cells[tie.one], cells[tie.other]
    a, b = segment(Rect(one.x, one.y, one.width, one.height), Rect(other.x, other.y, other.width, other.height))
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    path = f"M{a[0]:.1f} {a[1]:.1f}L{b[0]:.1f} {b[1]:.1f}"
    return Sign(tie.state, path, round(middle[0], 1), round(middle[1], 1), tie.rank)


def _marks(deepest: float, height: float) -> list[Mark]:
    if deepest <= 0:
        return []
    step = round_step(deepest / 6)
    return [
        Mark(round(TOP + n * step / deepest * height, 1), _plain(n * step)) for n in range(ceil(deepest / step + 1e-9))
    ]


def _plain(value: float) -> str:
    return f"{value:.4g}" if value < 10_000 else f"{value:.0f}"


# what is said and what the key names


def _spoken(bodies: Sequence[Body], drawn: Sequence[Body], deepest: float, grouped: bool) -> str:
    pieces = f"{len(bodies)} piece{'s' if len(bodies) != 1 else ''}"
    what = f"{pieces} in {len(drawn)} groups" if grouped else pieces
    depth = f"by depth, to {_plain(deepest)} cm" if deepest else "whose depths are not known"
    return f"{what} {depth}, with the joins between them"


def _cell_key(drawn: Sequence[Body], cells: dict[int, Cell]) -> list[tuple[str, str]]:
    occurring = {body.state for body in drawn}
    return [(css, state) for state, css in CELLS.items() if state in occurring]
