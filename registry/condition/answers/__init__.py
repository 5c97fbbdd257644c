"""What this room says when other rooms ask."""

from registry.condition.answers import examinations, incidents, restrictions

__all__ = ["examinations", "incidents", "restrictions"]
