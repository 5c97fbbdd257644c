"""A mount and its supports are written, changed, taken away."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import Any

from django.utils import timezone

from catalog.casts.numbers import sort_text
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.asks import bearer_of
from catalog.ground.collection import today
from catalog.ground.numbers import next_number
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from registry.mounts.models import Mount, Support
from registry.mounts.rules import mounts as rules
from registry.mounts.said import MountSaid, SupportSaid
from registry.places.actions import add_place
from registry.places.models import Place

MOUNT_FIELDS = tuple(n for n in MountSaid.__dataclass_fields__ if n not in ("place", "stands_in"))
SUPPORT_FIELDS = tuple(SupportSaid.__dataclass_fields__)
# what carries: a change of these takes an engineer's word its force
_CARRYING = frozenset({"holding", "both_ways", "overhead", "mass_g", "x_mm", "y_mm", "z_mm"})


@action("mount.write")
def add_mount(actor: Actor, said: MountSaid) -> Mount:
    """A new mount. One that is a place bears the place's code; others get the next number of their own, M-1, M-2, …"""
    refuse_if(rules.wrong_mount(said) + _wrong_place(said.place), Refusal)
    place, number = said.place, said.place.code if said.place else _next_number(actor)
    if said.stands_in is not None:
        place = add_place(actor, number, said.name, "frame", parent=said.stands_in, movable=False)
    made = Mount(number=number, sort=sort_text(number), place=place, altered_at=timezone.now())
    for name in MOUNT_FIELDS:
        setattr(made, name, _tidy(getattr(said, name)))
    tell(number, mount=said.kind)
    return store(made)


def _tidy(value: Any) -> Any:
    return value.strip() if isinstance(value, str) else value


def _next_number(actor: Actor) -> str:
    while True:
        number = f"M-{next_number('mount')}"
        if not bearer_of(actor, number):
            return number


def _wrong_place(place: Place | None) -> list[Reason]:
    if place is None:
        return []
    if place.closed_on is not None:
        return [Reason(f"{place.code} is no longer in use. Choose another place.", "place", said=place.code)]
    taken = Mount.objects.filter(place=place).first()
    return [Reason(f"{place.code} is a mount already.", "place", taken.href, place.code)] if taken else []


@action("mount.write")
def change_mount(actor: Actor, pk: int, changes: dict[str, Any], *, expected_version: int | None = None) -> Mount:
    """Changes what is said of a mount; only the named fields. Its number and the place that it is stay."""
    held = locked(Mount, expected_version, pk=pk)
    known = {n: _tidy(v) for n, v in changes.items() if n in MOUNT_FIELDS}
    said = MountSaid(**{n: getattr(held, n) for n in MOUNT_FIELDS})
    refuse_if(rules.wrong_mount(replace(said, **known)), Refusal)
    altered = any(getattr(held, n) != v for n, v in known.items() if n in _CARRYING)
    for name, value in known.items():
        setattr(held, name, value)
    if altered:
        held.altered_at = timezone.now()
    return store(held)


@action("mount.write")
def add_support(actor: Actor, mount: Mount, said: SupportSaid) -> Support:
    """One more point where it carries."""
    held = locked(Mount, pk=mount.pk)
    numbers = held.supports.values_list("number", flat=True)
    refuse_if(rules.wrong_support(said, numbers, hanging=held.holding == "hanging"), Refusal)
    made = store(Support(mount=held, **{n: _tidy(v) for n, v in asdict(said).items()}))
    _altered(held)
    return made


@action("mount.write")
def change_support(actor: Actor, pk: int, changes: dict[str, Any], *, expected_version: int | None = None) -> Support:
    """Changes what is said of a support; only the named fields."""
    mount = locked(Mount, pk=_mount_of(pk))
    held = locked(Support, expected_version, pk=pk)
    if held.gone_on is not None:
        raise Hindered(Reason(f"Support {held.number} was taken away. Write a new one."))
    known = {n: _tidy(v) for n, v in changes.items() if n in SUPPORT_FIELDS}
    others = mount.supports.exclude(pk=pk).values_list("number", flat=True)
    said = replace(SupportSaid(**{n: getattr(held, n) for n in SUPPORT_FIELDS}), **known)
    refuse_if(rules.wrong_support(said, others, hanging=mount.holding == "hanging"), Refusal)
    before = held.version
    for name, value in known.items():
        setattr(held, name, value)
    store(held)
    if held.version != before:
        _altered(mount)
    return held


@action("mount.write")
def take_support_away(actor: Actor, pk: int, why: str, *, expected_version: int | None = None) -> Support:
    """A support is no longer there, and why; what it was stays readable. A failed one stays until an engineer's word."""
    mount = locked(Mount, pk=_mount_of(pk))
    held = locked(Support, expected_version, pk=pk)
    if mount.closed_on is not None:
        raise Hindered(Reason(rules.closed(mount.number, mount.closed_on), "", mount.href))
    if not why.strip() or len(why) > 300:
        raise Refusal(Reason("Write in a line why it is taken away.", "why"))
    held.gone_on = held.gone_on or today()
    held.note = f"{held.note}\nTaken away: {why.strip()}".strip()
    _altered(mount)
    return store(held)


def _mount_of(pk: int) -> int:
    found = Support.objects.filter(pk=pk).values_list("mount", flat=True).first()
    return found or 0


def _altered(mount: Mount) -> None:
    mount.altered_at = timezone.now()
    store(mount)
