"""Pages of instruments and weighings, a file a noun."""

from catalog.measurements.pages import instruments, weighings

__all__ = ["instruments", "weighings"]
