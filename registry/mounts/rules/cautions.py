"""Cautions beside the work with mounts. They defer to local codes and licensed practice (HSE on lifts; the rest from memory)."""

from __future__ import annotations

OVERHEAD = (
    "**Nobody under it.** Structure, fixings and any change are judged by a qualified engineer; nobody stands under a lift; "
    "a barrier stays until it was inspected, and a failed support closes the space. "
    "Follow local codes and licensed practice."
)
LIFTING = (
    "**Lift by a plan.** A lift is planned, led by a competent person and supervised, with the people and the gear named here. "
    "No improvised slings round a cast. Follow local codes and licensed practice."
)
LOADS = (
    "**Loads on record, not a design.** Rigid body, weights straight down, standing still; safety and handling factors are "
    "settings of ours without a source. A licensed engineer decides what hangs over people; follow local codes."
)


def parted(caution: str) -> tuple[str, str]:
    """The rule in a few words, and why."""
    _, strong, rest = caution.split("**")
    return strong, rest.strip()
