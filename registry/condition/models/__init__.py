"""Records of this room, a file a noun."""

from registry.condition.models.restrictions import Restriction

__all__ = ["Restriction"]
