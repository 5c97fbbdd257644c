"""Pages of places, movements and their papers."""

from registry.places.pages import homes, movements, papers, places

__all__ = ["homes", "movements", "papers", "places"]
