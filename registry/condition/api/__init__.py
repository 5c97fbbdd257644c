"""The state of things as the API reads and writes it."""

from registry.condition.api.restrictions import Restrictions

__all__ = ["Restrictions"]
