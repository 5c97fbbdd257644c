"""A mount's supports with their loads as a page and a paper show them: rows of a table, spots of a drawing."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from catalog.ground import say
from registry.mounts.drawing import Spot, drawn
from registry.mounts.models import Support
from registry.mounts.reads.loads import Loaded, safety_of
from registry.mounts.statics import Carrying

_MARKS = {"in order": "in order", "near": "near", "over-loaded": "over-loaded"}


@dataclass(frozen=True)
class Row:
    """One support in words: what it carries if all sit equally, at worst, what it may, how much of that is used."""

    support: Support
    even: str
    worst: str
    may: str
    use: str
    verdict: str
    left_out: bool = False

    @property
    def harm(self) -> bool:
        return self.verdict in ("over-loaded", "failed")


def newtons(value: float | None) -> str:
    """47.5 N; above a thousand without tenths."""
    if value is None:
        return ""
    rounded = Decimal(str(value)).quantize(Decimal("1") if abs(value) >= 1000 else Decimal("0.1"))
    return say.with_unit(rounded, "N")


def rows_of(mount: Any, loaded: Loaded) -> list[Row]:
    """The supports that stand, in their order; of what is left out, that it is."""
    carried = {s.name: s for s in loaded.shown.supports}
    return [_row(mount, s, carried.get(s.number), s.number in loaded.left_out) for s in mount.standing]


def _row(mount: Any, s: Support, c: Carrying | None, left_out: bool) -> Row:
    may = f"{newtons(float(s.capacity_n))} / {say.figure(safety_of(mount, s))}" if s.capacity_n else ""
    if left_out or c is None:
        word = "failed" if s.state == "fail" else "left out" if left_out else ""
        return Row(s, "", "", may, "", word, left_out)
    use = f"{Decimal(str(c.use * 100)).quantize(Decimal(1))} %" if c.use is not None else ""
    return Row(s, newtons(c.even_n), newtons(c.worst_n), may, use, c.verdict)


def spots_of(mount: Any, loaded: Loaded) -> list[Spot]:
    front = mount.holding == "bracket"
    spots = []
    for row in rows_of(mount, loaded):
        s = row.support
        up = (s.z_mm or Decimal(0)) if front else s.y_mm
        mark = "failed" if row.left_out else _MARKS.get(row.verdict, "unknown")
        spots.append(Spot(s.number, float(s.x_mm), float(up), mark, row.worst or row.verdict))
    return spots


def drawing_of(mount: Any, loaded: Loaded) -> str:
    """The drawing with its words for whoever hears it."""
    spots, centre = spots_of(mount, loaded), loaded.shown.centre_mm
    across_up = None
    if centre is not None:
        up = (centre[2] or 0.0) if mount.holding == "bracket" else centre[1]
        across_up = (centre[0], up)
    told = ", ".join(f"support {s.name} {s.says}".strip() for s in spots)
    side = "the front" if mount.holding == "bracket" else "above"
    return drawn(spots, across_up, f"{mount.number} from {side}: {told}")
