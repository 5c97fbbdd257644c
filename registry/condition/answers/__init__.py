"""What this room says when other rooms ask."""

from registry.condition.answers import restrictions

__all__ = ["restrictions"]
