"""Every write about the state of things: what is barred."""

from registry.condition.actions.restrictions import lift_restriction, restrict

__all__ = ["lift_restriction", "restrict"]
