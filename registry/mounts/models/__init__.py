"""Records of this room, a file a noun."""

from registry.mounts.models.inspections import EngineersWord, MountInspection, SupportFound
from registry.mounts.models.mounts import Mount, Mounted, Support

__all__ = ["EngineersWord", "Mount", "MountInspection", "Mounted", "Support", "SupportFound"]
