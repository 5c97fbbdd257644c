"""What people say of the state of things, as plain records."""

from registry.condition.said.restrictions import RestrictionSaid

__all__ = ["RestrictionSaid"]
