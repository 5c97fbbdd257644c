"""A break face as the search for its partner sees it, and the constants the search goes by. Pure."""

from __future__ import annotations

from dataclasses import dataclass

SIDES = ("upper", "lower")


@dataclass(frozen=True, slots=True)
class Face:
    """An open break face of a cast. What is not known is None or empty.

    `size_mm` is the largest width, `across_mm` the width across it, `u_rel` the relative standard uncertainty of both;
    `side` is "upper" or "lower" by the piece's up-mark; `top_cm` to `bottom_cm` is the depth its piece came from.
    Raises ValueError for a size that is not above zero and for a depth interval upside down.
    """

    id: int
    piece: int
    size_mm: float | None = None
    across_mm: float | None = None
    u_rel: float = 0.05
    kind: str = ""
    side: str = ""
    top_cm: float | None = None
    bottom_cm: float | None = None
    pour: str = ""
    shaft: str = ""

    def __post_init__(self) -> None:
        if any(size is not None and not 0 < size < float("inf") for size in (self.size_mm, self.across_mm)):
            raise ValueError("The size of a face is a figure above zero.")
        if not 0 <= self.u_rel < 1:
            raise ValueError("The uncertainty of a size is a share of it, from 0 to below 1.")
        if self.side and self.side not in SIDES:
            raise ValueError("A face is an upper or a lower one, or not known to be either.")
        if self.top_cm is not None and self.bottom_cm is not None and self.bottom_cm < self.top_cm:
            raise ValueError("A depth interval goes from the shallower depth to the deeper one.")

    @property
    def depth(self) -> tuple[float, float] | None:
        """Interval in cm; None unless both ends are known."""
        if self.top_cm is None or self.bottom_cm is None:
            return None
        return (self.top_cm, self.bottom_cm)


@dataclass(frozen=True)
class Weights:
    """How much each sign counts, as likelihood ratios. Ours, no source; set before anything was measured, not tuned after.

    `neighbour` for depths that touch, with exp(-gap/`gap_cm`) for a gap; `wrong_way` for a lower face against a piece from
    higher up; `chip` is what crumbles off an edge, as a share of the size; `lost` the share of pieces that were not found.
    """

    neighbour: float = 0.5
    gap_cm: float = 3.0
    widest_gap_cm: float = 6.0
    wrong_way: float = 0.05
    opposite_sides: float = 1.96
    same_side: float = 0.04
    other_kind: float = 0.1
    other_pour: float = 0.05
    chip: float = 0.02
    lost: float = 0.05


USUAL_WEIGHTS = Weights()
