"""Pages about the state of things."""

from registry.condition.pages import breakages, examinations, incidents, restrictions

__all__ = ["breakages", "examinations", "incidents", "restrictions"]
