"""Every write about mounts: the mount, its supports, what is on it, inspections, an engineer's word."""

from registry.mounts.actions.inspecting import Inspected, inspect_mount, release_mount
from registry.mounts.actions.mounting import cast_is_gone, mount_cast, piece_goes_by, unmount
from registry.mounts.actions.mounts import add_mount, add_support, change_mount, change_support, take_support_away

__all__ = [
    "Inspected",
    "add_mount",
    "add_support",
    "cast_is_gone",
    "change_mount",
    "change_support",
    "inspect_mount",
    "mount_cast",
    "piece_goes_by",
    "release_mount",
    "take_support_away",
    "unmount",
]
