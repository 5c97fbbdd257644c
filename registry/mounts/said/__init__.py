"""What people say of mounts, as plain records. Frozen; no Django."""

from registry.mounts.said.inspections import FoundSaid, InspectionSaid, WordSaid
from registry.mounts.said.mounts import MountedSaid, MountSaid, SupportSaid

__all__ = ["FoundSaid", "InspectionSaid", "MountSaid", "MountedSaid", "SupportSaid", "WordSaid"]
