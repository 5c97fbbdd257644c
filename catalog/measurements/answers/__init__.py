"""What measurements say when asked, a file a page."""

from catalog.measurements.answers import weighings

__all__ = ["weighings"]
