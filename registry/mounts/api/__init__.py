"""Mounts, supports, what is on them and inspections as the API reads and writes them."""

from registry.mounts.api.inspections import Inspections
from registry.mounts.api.mounted import MountedThings
from registry.mounts.api.mounts import Mounts
from registry.mounts.api.supports import Supports

__all__ = ["Inspections", "MountedThings", "Mounts", "Supports"]
