"""A frame in the stair hall with four feet, and what stands in it."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from catalog.casts.models import Cast
from catalog.casts.subject import Subject
from catalog.ground.collection import today
from registry.mounts import actions, reads
from registry.mounts.models import Mount
from registry.mounts.said import FoundSaid, InspectionSaid, MountedSaid, MountSaid, SupportSaid, WordSaid
from registry.places.models import Place
from tests import builders
from tests.registry.places.makers_places import tree

D = Decimal
FEET = {"1": (0, 0), "2": (1000, 0), "3": (1000, 600), "4": (0, 600)}
TRAINED = "trained by the maker, eight years"


def frame(*, capacity_n: Any = 600, **more: Any) -> tuple[Mount, dict[str, Place]]:
    """F-1 on four feet; the whole stair hall is closed when one fails."""
    places = tree()
    said = {"kind": "frame", "name": "Frame 1", "place": places["F-1"], "closes": places["H"], "stays": True}
    said |= {"people_needed": 4, "plan": "Upper sections first.", "inspect_months": 12}
    made = actions.add_mount(builders.ottilie(), MountSaid(**(said | more)))
    for number in FEET:
        foot(made, number, capacity_n=capacity_n)
    return reads.mount_at(builders.imke(), made.number), places


def foot(mount: Mount, number: str, *, capacity_n: Any = 600, **more: Any) -> None:
    x, y = FEET[number]
    capacity = {"capacity_n": D(capacity_n), "capacity_source": "maker's sheet"} if capacity_n else {}
    actions.add_support(builders.ottilie(), mount, SupportSaid(number, D(x), D(y), **(capacity | more)))


def stands(mount: Mount, cast: Cast, at: tuple[int, int] | None = (500, 300), **more: Any) -> Any:
    spot = {"x_mm": D(at[0]), "y_mm": D(at[1])} if at else {}
    return actions.mount_cast(builders.ottilie(), mount, Subject(cast), MountedSaid(**(spot | more)))


def looked(mount: Mount, by: Any = None, on: date | None = None, **states: str) -> Any:
    """Inspected; every foot sound but for those that are named (`_2="fail"`)."""
    numbers = [s.number for s in reads.supports_of(mount)]
    found = tuple(FoundSaid(n, states.get(f"_{n}", "sound")) for n in numbers)
    return actions.inspect_mount(by or builders.ottilie(), mount, InspectionSaid(found, TRAINED, on=on))


def word(mount: Mount, says: str = "safe", **more: Any) -> Any:
    said = {"engineer": "Hanne Voss", "qualification": "chartered structural engineer", "on": today()}
    said |= {"paper": "letter of this week, file Mounts", "conditions": "no more than this cast"}
    return actions.release_mount(builders.tobias(), mount, WordSaid(says=says, **(said | more)))


def anew(mount: Mount) -> Any:
    return reads.mount_at(builders.imke(), mount.number)


def days_ago(n: int) -> date:
    return today() - timedelta(days=n)
