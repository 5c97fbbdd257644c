"""Pages of photographs and of the marks on them."""

from catalog.media.pages import annotations, photographs
from catalog.media.pages.photographs import once_here

__all__ = ["annotations", "once_here", "photographs"]
