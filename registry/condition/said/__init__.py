"""What people say of the state of things, as plain records."""

from registry.condition.said.examinations import CarriedSaid, ExaminationSaid, MarkSaid, NewSaid
from registry.condition.said.incidents import (
    BodySaid,
    BreakageSaid,
    DecisionSaid,
    FoundSaid,
    IncidentSaid,
    LooseSaid,
    PartSaid,
)
from registry.condition.said.restrictions import RestrictionSaid

__all__ = [
    "BodySaid",
    "BreakageSaid",
    "CarriedSaid",
    "DecisionSaid",
    "ExaminationSaid",
    "FoundSaid",
    "IncidentSaid",
    "LooseSaid",
    "MarkSaid",
    "NewSaid",
    "PartSaid",
    "RestrictionSaid",
]
