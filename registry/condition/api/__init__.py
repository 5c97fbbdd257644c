"""The state of things as the API reads and writes it."""

from registry.condition.api.examinations import Examinations
from registry.condition.api.restrictions import Restrictions

__all__ = ["Examinations", "Restrictions"]
