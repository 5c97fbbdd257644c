"""Pages about the state of things."""

from registry.condition.pages import examinations, restrictions

__all__ = ["examinations", "restrictions"]
