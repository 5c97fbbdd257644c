"""One import a room, bottom first."""

from catalog.casts.models import *  # noqa: F403
from catalog.excavations.models import *  # noqa: F403
from catalog.ground.models import *  # noqa: F403
from catalog.measurements.models import *  # noqa: F403
from catalog.media.models import *  # noqa: F403
from catalog.people.models import *  # noqa: F403
from catalog.publishing.models import *  # noqa: F403
from catalog.taxa.models import *  # noqa: F403
