"""Pages of this room, a file a noun."""

from catalog.casts.pages import casts, determinations, pieces, refitting

__all__ = ["casts", "determinations", "pieces", "refitting"]
