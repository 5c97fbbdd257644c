"""What casts and pieces say when asked."""

from catalog.casts.answers import casts, pieces

__all__ = ["casts", "pieces"]
