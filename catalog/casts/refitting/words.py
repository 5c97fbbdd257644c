"""Why a fit is suggested, and how likely it is, in words. Pure."""

from __future__ import annotations

from catalog.casts.refitting.faces import USUAL_WEIGHTS, Face, Weights
from catalog.casts.refitting.score import gap_cm, sizes_differ_z


def likely(chance: float) -> str:
    """A chance from 0 to 1 in a word: a figure would promise more than it holds."""
    if chance > 0.5:
        return "likely"
    return "possible" if chance >= 0.1 else "try"


def why(one: Face, other: Face, weights: Weights = USUAL_WEIGHTS) -> str:
    """`same depth, widths 14.1 and 14.4 mm (z 0.3), lower to upper, same pour`: what is known of both, nothing else."""
    parts = [
        _depths(one, other),
        _sizes(one, other, weights),
        f"{one.side} to {other.side}" if one.side and other.side else "",
        _same("kind", one.kind, other.kind),
        _same("pour", one.pour, other.pour),
        _same("shaft", one.shaft, other.shaft),
    ]
    return ", ".join(part for part in parts if part) or "nothing known speaks against it"


def _depths(one: Face, other: Face) -> str:
    gap = gap_cm(one.depth, other.depth)
    if gap is None:
        return ""
    if one.depth == other.depth:
        return "same depth"
    if gap < 0:
        return "depths overlap"
    return "next to each other in depth" if gap == 0 else f"{gap:.3g} cm apart in depth"


def _sizes(one: Face, other: Face, weights: Weights) -> str:
    z = sizes_differ_z(one, other, weights.chip)
    if z is None:
        return ""
    return f"widths {one.size_mm:.1f} and {other.size_mm:.1f} mm (z {z:.1f})"


def _same(name: str, one: str, other: str) -> str:
    if not one or not other:
        return ""
    return f"same {name}" if one == other else f"other {name}"
