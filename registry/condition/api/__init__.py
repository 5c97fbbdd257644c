"""The state of things as the API reads and writes it."""

from registry.condition.api.breakages import Breakages
from registry.condition.api.examinations import Examinations
from registry.condition.api.incidents import Incidents
from registry.condition.api.restrictions import Restrictions

__all__ = ["Breakages", "Examinations", "Incidents", "Restrictions"]
