"""Every write about the state of things: what is barred, what happened to them."""

from registry.condition.actions.breakages import (
    Recorded,
    place_loose,
    record_breakage,
    take_back_incident,
    weigh_parts,
)
from registry.condition.actions.examinations import change_draft, examine, sign_examination
from registry.condition.actions.incidents import decide_incident, report_found, report_missing
from registry.condition.actions.restrictions import lift_restriction, restrict

__all__ = [
    "Recorded",
    "change_draft",
    "decide_incident",
    "examine",
    "lift_restriction",
    "place_loose",
    "record_breakage",
    "report_found",
    "report_missing",
    "restrict",
    "sign_examination",
    "take_back_incident",
    "weigh_parts",
]
