"""What mounts say when other rooms ask."""

from registry.mounts.answers import deeds, desk, pages

__all__ = ["deeds", "desk", "pages"]
