"""Mounts, their supports, what is on them, and the loads, as pages, the API and other rooms read them."""

from registry.mounts.reads.held import closed_places, closing, mounts_of_any, standing_in_closed
from registry.mounts.reads.inspections import (
    due_by,
    inspection_at,
    inspections,
    word_holds,
    words_of,
)
from registry.mounts.reads.loads import Loaded, load_of, loads_of
from registry.mounts.reads.mounts import (
    mount_at,
    mount_said,
    mounted_at,
    mounted_on,
    mounts,
    support_at,
    supports,
    supports_of,
)

__all__ = [
    "Loaded",
    "closed_places",
    "closing",
    "due_by",
    "inspection_at",
    "inspections",
    "load_of",
    "loads_of",
    "mount_at",
    "mount_said",
    "mounted_at",
    "mounted_on",
    "mounts",
    "mounts_of_any",
    "standing_in_closed",
    "support_at",
    "supports",
    "supports_of",
    "word_holds",
    "words_of",
]
