"""What this room says when other rooms ask."""

from registry.condition.answers import examinations, restrictions

__all__ = ["examinations", "restrictions"]
