"""Records of this room, a file a noun."""

from registry.condition.models.examinations import Examination, Finding
from registry.condition.models.restrictions import Restriction

__all__ = ["Examination", "Finding", "Restriction"]
