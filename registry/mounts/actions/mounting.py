"""A cast or a piece is put on a mount, and taken off."""

from __future__ import annotations

from datetime import date, datetime, time

from catalog.casts.actions import hold_cast
from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Subject, what_hinders
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.collection import today, zone
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from catalog.people.models import Person
from registry.mounts import reads
from registry.mounts.models import Mount, Mounted
from registry.mounts.rules import mounts as rules
from registry.mounts.said import MountedSaid
from registry.places.actions import move
from registry.places.models import Place
from registry.places.reads import me, place_now


@action("mount.write")
def mount_cast(actor: Actor, mount: Mount, what: Subject, said: MountedSaid) -> Mounted:
    """A cast or a piece is put on a mount; where the mount is a place, it is moved there."""
    refuse_if(rules.wrong_mounting(said, today=today()), Refusal)
    what = Subject(hold_cast(what.cast.pk), what.piece)
    held = locked(Mount, pk=mount.pk)
    refuse_if(_hinders(held, what))
    on = said.on or today()
    if held.place is not None and place_now(what) != held.place:
        move(actor, what, held.place, because=f"put on mount {held.number}", by=said.by, at=_noon(on))
    made = Mounted(mount=held, cast=what.cast, piece=what.piece, on=on, by=said.by or me(actor))
    made.x_mm, made.y_mm, made.z_mm = said.x_mm, said.y_mm, said.z_mm
    tell(str(what), mounted_on=held.number)
    return store(made)


def _hinders(mount: Mount, what: Subject) -> list[Reason]:
    if what.piece and not what.piece.present:
        return [Reason(f"{what} is no longer whole. Put its parts on.", "what", said=str(what))]
    if what.cast.closed_as:
        return [Reason(f"{what} is no longer in our care: {what.cast.closed_as}.", "what", said=str(what))]
    found = [Reason(r.sentence, "what", r.remedy) for r in what_hinders(what, "mount")]
    if mount.closed_on is not None:
        found.append(Reason(rules.closed(mount.number, mount.closed_on), "mount", mount.href))
    return found + rules.hinders_hanging(mount.number, overhead=mount.overhead, word_holds=reads.word_holds(mount))


def _noon(on: date) -> datetime | None:
    """None is now; of an earlier day its noon."""
    return None if on == today() else datetime.combine(on, time(12), tzinfo=zone())


@action("mount.write")
def unmount(
    actor: Actor,
    pk: int,
    *,
    words: str,
    to: Place | None = None,
    on: date | None = None,
    by: Person | None = None,
    expected_version: int | None = None,
) -> Mounted:
    """It is taken off its mount: how, and by whom, in words. What stood on a mount that is a place is moved to `to`."""
    row = locked(Mounted, expected_version, pk=pk)
    what, mount = Subject(hold_cast(row.cast_id), row.piece), locked(Mount, pk=row.mount_id)
    refuse_if(_wrong_taking_off(row, words, on), Refusal)
    if mount.closed_on is not None:
        raise Hindered(Reason(rules.closed(mount.number, mount.closed_on), "", mount.href))
    row.off_on, row.off_by, row.off_words = on or today(), by or me(actor), words.strip()
    store(row)
    if mount.place is not None and place_now(what) == mount.place:
        if to is None:
            raise Refusal(Reason(f"{mount.number} is its place too. Write where it goes.", "to"))
        move(actor, what, to, because=words.strip(), by=by, at=_noon(row.off_on))
    tell(str(what), taken_off=mount.number)
    return row


def _wrong_taking_off(row: Mounted, words: str, on: date | None) -> list[Reason]:
    found = []
    if row.off_on is not None:
        found.append(Reason(f"{row.thing} was taken off already."))
    if not words.strip():
        found.append(Reason("Write how it was taken down, and who helped.", "words"))
    elif len(words) > 300:
        found.append(Reason(f"Shorten this to 300 letters; it has {len(words)}.", "words"))
    if on is not None and on > today():
        found.append(Reason("This day has not come yet. Write when it was taken off.", "on", said=on.isoformat()))
    if on is not None and on < row.on:
        found.append(Reason("It cannot be taken off before it was put on.", "on", said=on.isoformat()))
    return found


@action(None)
def cast_is_gone(actor: Actor, cast: Cast, closed_as: str) -> list[Mounted]:
    """A cast went out of our care: it is on no mount any longer."""
    standing = list(Mounted.objects.select_related("mount").filter(cast=cast, off_on__isnull=True).order_by("pk"))
    for row in standing:
        row.off_on, row.off_words = max(today(), row.on), closed_as[:300]
        store(row)
    return standing


@action(None)
def piece_goes_by(actor: Actor, old: Piece, new: Piece) -> list[Mounted]:
    """A piece goes by another number from now on: on the same mount, at the same spot."""
    moved = []
    for row in list(Mounted.objects.select_related("mount").filter(piece=old, off_on__isnull=True)):
        row.off_on, row.off_words = max(today(), row.on), f"goes by {new.number} from now on"
        store(row)
        spot = {"x_mm": row.x_mm, "y_mm": row.y_mm, "z_mm": row.z_mm}
        moved.append(store(Mounted(mount=row.mount, cast=new.cast, piece=new, on=row.off_on, by=row.by, **spot)))
    return moved
