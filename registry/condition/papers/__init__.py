"""Papers of this room, a file a noun."""

from registry.condition.papers.examinations import condition_report
from registry.condition.papers.incidents import insurance_note

__all__ = ["condition_report", "insurance_note"]
