"""One import a room, bottom first."""

from registry.accessions.models import *  # noqa: F403
from registry.condition.models import *  # noqa: F403
from registry.mounts.models import *  # noqa: F403
from registry.places.models import *  # noqa: F403
