"""Places, movements and placements as the API reads and writes them."""

from registry.places.api.movements import Movements
from registry.places.api.placements import Placements
from registry.places.api.places import Places
from registry.places.api.trays import TrayRows

__all__ = ["Movements", "Placements", "Places", "TrayRows"]
