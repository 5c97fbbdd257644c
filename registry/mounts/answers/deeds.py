"""What stands in the way of a deed because of a mount, and what follows for mounts when something breaks or leaves."""

from __future__ import annotations

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import (
    Subject,
    built_on,
    cast_left,
    piece_became,
    piece_broke,
    what_hinders,
    what_hinders_any,
)
from catalog.ground import say
from catalog.ground.refusal import Reason
from catalog.ground.roles import HOUSE
from registry.mounts import reads
from registry.mounts.actions import cast_is_gone, piece_goes_by
from registry.mounts.models import Mount, Mounted
from registry.mounts.rules import mounts as rules
from registry.places.asks import what_hinders_putting
from registry.places.models import Place
from registry.places.reads import words_of

_AWAY = frozenset({"move", "lend"})
_UNDER_IT = frozenset({"move", "touch", "treat"})


@what_hinders.answer
def on_a_mount(subject: Subject, deed: str) -> list[Reason]:
    """It is not moved or lent off a mount that stays, nor handled under one that failed, nor put on a second one."""
    return _hinders([subject], deed)


@what_hinders_any.answer
def any_on_a_mount(subjects: list[Subject], deed: str) -> list[Reason]:
    return _hinders(subjects, deed)


def _hinders(subjects: list[Subject], deed: str) -> list[Reason]:
    found = []
    if deed in _AWAY | _UNDER_IT | {"mount"}:
        for subject, mount in reads.mounts_of_any(subjects):
            found += _of_mount(str(subject), mount, deed)
    if deed in _UNDER_IT:
        for subject, mount in reads.standing_in_closed(subjects):
            found.append(_shut(f"{subject} stands in a closed space. ", mount))
    return list({r.sentence: r for r in found}.values())


def _of_mount(what: str, mount: Mount, deed: str) -> list[Reason]:
    if deed == "mount":
        return [rules.on_another(what, mount.number)]
    if mount.closed_on is not None:
        return [_shut(f"{what} is on {mount.number}. ", mount)]
    if deed in _AWAY and mount.stays:
        return [Reason(rules.stays(what, mount.number, people=mount.people_needed), "what", mount.href)]
    return []


def _shut(before: str, mount: Mount) -> Reason:
    assert mount.closed_on is not None
    below = words_of(mount.closes) if mount.closes else ""
    return Reason(before + rules.closed(mount.number, mount.closed_on, below), "what", mount.href)


@what_hinders_putting.answer
def the_space_is_closed(place: Place) -> list[Reason]:
    """Nothing is put below a mount with a failed support, nor on it."""
    shut = reads.closed_places(place)
    return [Reason(_shut("", m).sentence, "to", m.href) for m in shut]


@piece_broke.answer
def look_at_its_supports(parent: Piece | None, children: list[Piece]) -> list[str]:
    """The loads are reckoned from what is there now; somebody looks whether the mount still holds it."""
    piece = parent or next(iter(children), None)
    if piece is None:
        return []
    on = reads.mounts_of_any([Subject(piece.cast, piece)])
    return [f"{piece.number} is on {m.number}: its loads are reckoned anew. Look at its supports." for _, m in on]


@built_on.answer
def put_on_a_mount(pieces: list[Piece]) -> list[str]:
    """A breakage is not taken back under pieces that somebody put on a mount since."""
    rows = Mounted.objects.select_related("mount", "piece__cast").filter(piece__in=pieces).order_by("pk")
    return [f"{row.thing} was put on {row.mount.number} on {say.day(row.on)}." for row in rows]


@piece_became.answer
def it_stays_on_its_mount(old: Piece, new: Piece) -> list[str]:
    """Under its other number the same piece is where it was."""
    return [f"{new.number} is on {row.mount.number}." for row in piece_goes_by(HOUSE, old, new)]


@cast_left.answer
def it_is_on_no_mount(cast: Cast, closed_as: str) -> list[str]:
    """What is kept for teaching may stay where it hangs."""
    if closed_as == "kept for teaching":
        return []
    return [f"{row.thing} is no longer on {row.mount.number}." for row in cast_is_gone(HOUSE, cast, closed_as)]
