"""Excavations: thin at first, richer later; who was there; by whose leave."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from catalog.excavations import reads, rules
from catalog.excavations.actions.filling import days_of, fill
from catalog.excavations.actions.placing import category_now, show_anew
from catalog.excavations.asks import excavation_placed
from catalog.excavations.models import Excavation, ExcavationPerson, Permit, Site
from catalog.excavations.placing import less_strict
from catalog.ground.acting import action, locked, remove, store
from catalog.ground.collection import today
from catalog.ground.numbers import next_number
from catalog.ground.refusal import NotAllowed, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor, may, who_may
from catalog.people.actions import add_person
from catalog.people.models import Person
from catalog.people.said import PersonSaid

FIELDS = (
    *("field_number", "site", "dug_on", "permit", "consent", "permit_exception", "taxon", "animal_words", "entrance"),
    *("soil", "weather", "depth_cm", "depths_from", "bearing_deg", "bearing_is", "extent", "left_in_ground"),
    *("left_mass_g", "note"),
)
_HELD_AGAINST = ("permit", "consent", "site", "dug_on", "permit_exception")
# who was there and what they did; a name instead of a person is written as a new person with the dig
There = tuple[Person | str, str]


@action("excavation.write")
def record_excavation(actor: Actor, said: Mapping[str, Any], *, people: Iterable[There] = ()) -> Excavation:
    """One nest dug, as far as known: any of `FIELDS`. Its number is of the year of the dig, where that is certain."""
    dig = Excavation()
    _fill(dig, said)
    year = rules.number_year(dig.dug_earliest, dig.dug_latest, today())
    dig.number = f"D-{year}-{next_number(f'excavation {year}')}"
    store(dig)
    _name(actor, dig, people)
    return dig


@action("excavation.write")
def change_excavation(
    actor: Actor,
    pk: int,
    said: Mapping[str, Any],
    *,
    people: Iterable[There] | None = None,
    expected_version: int | None = None,
) -> Excavation:
    """Changes what is said of a dig, only in the named fields; `people`, where given, are all who were there."""
    dig = locked(Excavation, expected_version, pk=pk)
    before = dig.site
    if "site" in said:
        _refuse_lowering(actor, dig, before, said["site"])
    _fill(dig, said)
    store(dig)
    if dig.site != before:
        show_anew(dig)
        excavation_placed(dig)
    if people is not None:
        _name(actor, dig, people)
    return dig


def _fill(dig: Excavation, said: Mapping[str, Any]) -> None:
    held_against = any(name in said and said[name] != getattr(dig, name) for name in _HELD_AGAINST)
    nth = _nth(dig, said["permit"]) if said.get("permit") else 1
    fill(dig, said, FIELDS)
    if "dug_on" in said:
        dig.dug_earliest, dig.dug_latest = days_of(dig.dug_on, "dug_on")
    refuse_if(rules.wrong_figures(dig.depth_cm, dig.bearing_deg, dig.bearing_is), Refusal)
    if held_against:
        refuse_if(rules.hinders_recording(_notes(dig, nth), dig.permit_exception), Refusal)


def _nth(dig: Excavation, permit: Permit) -> int:
    """Which nest under this permit: as it stands, or the next one. The permit is held, so that no two are the last."""
    held = locked(Permit, pk=permit.pk)
    if dig.permit_id == held.pk:
        return reads.nth_of(dig)
    return Excavation.objects.filter(permit=held).count() + 1


def _notes(dig: Excavation, nth: int) -> list[rules.LeaveNote]:
    facts = reads.dig_of(dig, nth=nth, written=False)
    return [n for paper in (dig.permit, dig.consent) if paper for n in rules.permit_notes(reads.leave_of(paper), facts)]


def _refuse_lowering(actor: Actor, dig: Excavation, before: Site | None, after: Site | None) -> None:
    """A place that is written is not shown more exactly in passing, by giving its dig to another site."""
    lowered = less_strict(category_now(before.pk if before else None), category_now(after.pk if after else None))
    if lowered and reads.is_placed(dig) and not may(actor, "site.category"):
        where = after.name if after else "no site"
        raise NotAllowed(
            f"At {where} the place of {dig.number} would be kept back less strictly. "
            f"Only {who_may('site.category')} may do that.",
            scope="site.category",
        )


def _name(actor: Actor, dig: Excavation, people: Iterable[There]) -> None:
    """Exactly these were there."""
    wanted: dict[int, tuple[Person, str]] = {}
    for who, did in people:
        person = add_person(actor, PersonSaid(name=who)) if isinstance(who, str) else who
        if len(did) > 80:
            raise Refusal(Reason(f"Shorten what {person} did to 80 letters.", "people", said=did))
        wanted[person.pk] = (person, did)
    there = {p.person_id: p for p in ExcavationPerson.objects.filter(excavation=dig)}
    for pk, (person, did) in wanted.items():
        named = there.get(pk) or ExcavationPerson(excavation=dig, person=person)
        named.did = did
        store(named)
    for pk, named in there.items():
        if pk not in wanted:
            remove(named)
