"""What people say of the state of things, as plain records."""

from registry.condition.said.examinations import CarriedSaid, ExaminationSaid, MarkSaid, NewSaid
from registry.condition.said.restrictions import RestrictionSaid

__all__ = ["CarriedSaid", "ExaminationSaid", "MarkSaid", "NewSaid", "RestrictionSaid"]
