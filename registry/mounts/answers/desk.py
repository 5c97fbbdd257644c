"""To Today and to the box: what is closed, what is due, what waits for an engineer; which mount bears a number."""

from __future__ import annotations

from datetime import timedelta

from catalog.ground import say
from catalog.ground.asks import Bearer, Duty, bearer_of, todays_work
from catalog.ground.collection import today
from catalog.ground.roles import Actor, may
from registry.mounts import reads
from registry.mounts.models import Mount
from registry.mounts.reads.inspections import overhead_without_word
from registry.places.reads import words_of

_MOST = 50
_SOON = timedelta(days=14)


@bearer_of.answer
def mounts(reader: Actor, text: str) -> list[Bearer]:
    """Mounts that are places answer by their place."""
    if not may(reader, "place.read"):
        return []
    asked = "-".join(text.strip().upper().split())
    found = Mount.objects.filter(number__iexact=asked, place__isnull=True).first()
    return [Bearer("mount", found.number, found.name, found.href, found.pk)] if found else []


@todays_work.answer
def closed_mounts(reader: Actor) -> list[Duty]:
    """A support failed: the keeper and the registrar hear of it until an engineer's word is on record."""
    if not reader.roles & {"keeper", "registrar"}:
        return []
    found = []
    for mount in reads.mounts(reader).filter(closed_on__isnull=False).order_by("sort")[:_MOST]:
        failed = [s.number for s in mount.standing if s.state == "fail"]
        word = "support" if len(failed) == 1 else "supports"
        named = f"{word} {say.listed(failed)} failed" if failed else "it is not safe"
        below = f" and {words_of(mount.closes)} are" if mount.closes else " is"
        sentence = f"{mount.number}: {named}; {mount.number}{below} closed. An engineer's word is wanted."
        act = "Write the word" if may(reader, "mount.release") else "Look"
        found.append(Duty(sentence, mount.href, mount.closed_on, "late", number=mount.number, act=act))
    return found


@todays_work.answer
def inspections_due(reader: Actor) -> list[Duty]:
    if not may(reader, "mount.inspect"):
        return []
    day = today()
    found = []
    for mount in reads.due_by(reader, day + _SOON)[:_MOST]:
        late = mount.inspect_by is not None and mount.inspect_by < day
        words = say.due_words(mount.inspect_by or day, day)
        sentence = f"{mount.number}, {mount.name}: inspection due {words}."
        weight = "late" if late else "soon"
        found.append(
            Duty(sentence, f"{mount.href}inspect/", mount.inspect_by, weight, number=mount.number, act="Inspect")
        )
    return found


@todays_work.answer
def overhead_waits_for_a_word(reader: Actor) -> list[Duty]:
    """Something hangs overhead, and no engineer's word is newer than the last change."""
    if not may(reader, "mount.release"):
        return []
    return [
        Duty(
            f"{m.number} carries something overhead without an engineer's word since its last change.",
            m.href,
            None,
            "waits",
            number=m.number,
            act="Write the word",
        )
        for m in overhead_without_word(reader)[:_MOST]
    ]
