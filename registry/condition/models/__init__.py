"""Records of this room, a file a noun."""

from registry.condition.models.breakages import Breakage, BreakagePart, FailedJoin, LooseLot
from registry.condition.models.examinations import Examination, Finding
from registry.condition.models.incidents import Incident, IncidentPhotograph, IncidentSubject
from registry.condition.models.restrictions import Restriction

__all__ = [
    "Breakage",
    "BreakagePart",
    "Examination",
    "FailedJoin",
    "Finding",
    "Incident",
    "IncidentPhotograph",
    "IncidentSubject",
    "LooseLot",
    "Restriction",
]
