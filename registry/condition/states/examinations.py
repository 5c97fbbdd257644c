"""Why one examines, the grades of the whole, what became of a finding. Pure; the grades are ours, the trade has no single scale."""

from __future__ import annotations

REASONS: list[tuple[str, str]] = [
    ("routine", "routine, by the calendar"),
    ("on entry", "on entry"),
    ("before loan", "before a loan"),
    ("on departure", "on departure"),
    ("on arrival", "on arrival"),
    ("between venues", "between two venues"),
    ("on return", "on return"),
    ("before treatment", "before a treatment"),
    ("after treatment", "after a treatment"),
    ("on mounting", "on mounting"),
    ("after incident", "after an incident"),
    ("after change", "after a change of surroundings"),
]
GRADES: list[tuple[str, str]] = [("good", "good"), ("fair", "fair"), ("poor", "poor"), ("unstable", "unstable")]
MEANS = {
    "good": "sound, nothing to be done",
    "fair": "old damage, stable",
    "poor": "unstable or hard to handle; treat it before it is used",
    "unstable": "it loses material now; do not move it",
}
VERDICTS: list[tuple[str, str]] = [
    ("new", "new"),
    ("as it was", "as it was"),
    ("changed", "changed"),
    ("gone", "gone"),
]
METHODS = ["by eye", "raking light", "magnifier", "weighing", "tapping"]
DUE_SOON_DAYS = 14
