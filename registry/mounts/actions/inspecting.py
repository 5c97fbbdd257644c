"""A mount is inspected; a failed support closes it; a qualified engineer's word opens it."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from catalog.ground.acting import action, locked, store, store_many, tell
from catalog.ground.collection import local, today
from catalog.ground.refusal import Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from registry.mounts import reads
from registry.mounts.models import EngineersWord, Mount, MountInspection, Support, SupportFound
from registry.mounts.rules import inspections as rules
from registry.mounts.said import InspectionSaid, WordSaid
from registry.places.reads import me, words_of


@dataclass(frozen=True)
class Inspected:
    """The inspection, and what follows from it in sentences; none where every support stands."""

    inspection: MountInspection
    consequences: list[str] = field(default_factory=list)


@action("mount.inspect")
def inspect_mount(actor: Actor, mount: Mount, said: InspectionSaid) -> Inspected:
    """Every support is judged. A failed one closes the mount and the space below, however many were sound before."""
    held = locked(Mount, pk=mount.pk)
    standing = {s.number.lower(): s for s in reads.supports_of(held)}
    day = today()
    on = said.on or (local(said.made_at).date() if said.made_at else day)
    by = said.by or me(actor)
    wrong = rules.wrong_inspection(said, [s.number for s in standing.values()], today=day)
    if by is None:
        wrong.append(Reason("Write who inspected it.", "by"))
    if on > day and said.on is None:
        wrong.append(Reason("This day has not come yet. Write when it was inspected.", "on", said=on.isoformat()))
    refuse_if(wrong, Refusal)
    latest = not MountInspection.objects.filter(mount=held, on__gt=on).exists()
    due = said.next_due or (rules.months_on(on, held.inspect_months) if held.inspect_months else None)
    made = MountInspection(mount=held, on=on, by=by, next_due=due, made_at=said.made_at)
    for name in ("competence", "clearance", "barrier", "action", "note"):
        setattr(made, name, getattr(said, name).strip())
    store(made)
    failed = _judge(made, standing, said, latest)
    _settle(held, on, due, latest=latest, failed=bool(failed))
    tell(held.number, inspected=on.isoformat(), failed=failed)
    return Inspected(made, _consequences(held, failed))


def _judge(made: MountInspection, standing: dict[str, Support], said: InspectionSaid, latest: bool) -> list[str]:
    """Writes how each was found; the support bears the state of the latest look, and a failure in any case."""
    rows, failed = [], []
    for one in said.found:
        support = standing[one.number.lower()]
        rows.append(
            SupportFound(
                inspection=made, support=support, state=one.state, signs=list(one.signs), note=one.note.strip()
            )
        )
        if one.state == "fail":
            failed.append(support.number)
        if latest or one.state == "fail":
            support.state = one.state
            store(support)
    store_many(rows)
    return failed


def _settle(mount: Mount, on: date, due: date | None, *, latest: bool, failed: bool) -> None:
    if latest:
        mount.inspect_by = due
    if failed:
        mount.closed_on = mount.closed_on or on
    store(mount)


def _consequences(mount: Mount, failed: list[str]) -> list[str]:
    if not failed:
        return []
    loaded = reads.load_of(mount)
    over = loaded.without.over if loaded.without else []
    below = words_of(mount.closes) if mount.closes else ""
    said = rules.consequences(mount.number, failed, over, below)
    if loaded.without and loaded.without.tips:
        said.insert(1, "Without it, nothing on record keeps it from tipping.")
    return said


@action("mount.release")
def release_mount(actor: Actor, mount: Mount, said: WordSaid) -> EngineersWord:
    """A qualified engineer's word is put on record with its paper. One of safety opens what a failure closed."""
    held = locked(Mount, pk=mount.pk)
    refuse_if(rules.wrong_word(said, today=today()), Refusal)
    word = EngineersWord(mount=held, says=said.says)
    word.on = said.on or today()
    for name in ("engineer", "qualification", "conditions", "paper"):
        setattr(word, name, getattr(said, name).strip())
    store(word)
    held.closed_on = (held.closed_on or today()) if said.says == "not safe" else None
    store(held)
    tell(held.number, engineers_word=said.says)
    return word
