"""Pages about the state of things."""

from registry.condition.pages import restrictions

__all__ = ["restrictions"]
