"""Pages of places, movements, trays and their papers."""

from registry.places.pages import homes, movements, papers, places, trays

__all__ = ["homes", "movements", "papers", "places", "trays"]
