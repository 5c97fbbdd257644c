"""What is shown before a thing is moved: where it is, what goes with it, what to mind, what bars it."""

from __future__ import annotations

from dataclasses import dataclass, field

from catalog.casts.subject import Subject, what_hinders, what_hinders_any
from catalog.ground import say
from catalog.ground.collection import local
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor, may, who_may
from registry.places import rules
from registry.places.asks import what_hinders_putting
from registry.places.models import Place
from registry.places.reads.contents import load_of, placements_in, sum_in
from registry.places.reads.custody import holder_now
from registry.places.reads.tree import path_of, where_words_long
from registry.places.reads.whereabouts import place_now


@dataclass
class About:
    """One thing that is to be moved. `minds`: cautions; `asks_reason`: it is moved only with one; `barred`: it is not moved."""

    number: str
    href: str
    title: str
    where: str
    goes_with: str = ""
    to: str = ""
    minds: list[str] = field(default_factory=list)
    asks_reason: str = ""
    barred: list[Reason] = field(default_factory=list)


def about_moving(reader: Actor, what: Subject | Place, to: Place | None = None) -> About:
    """Everything that whoever moves it should read first. The number of queries does not grow with its pieces."""
    about = _about_place(reader, what) if isinstance(what, Place) else _about_cast(reader, what)
    if to is not None:
        _about_target(reader, about, what, to)
    return about


def _about_cast(reader: Actor, what: Subject) -> About:
    place = place_now(what)
    where = f"It is {where_words_long(place)}." if place else "Nobody has said yet where it is."
    about = About(str(what), what.href, what.cast.description, where)
    about.barred = what_hinders(what, "move")
    fixed = place.code if place and place.kind in rules.FIXED_KINDS else ""
    about.asks_reason = rules.asks_reason(str(what), fixed_to=fixed, fragile=what.cast.fragile)
    if about.asks_reason and not may(reader, "move.fragile"):
        about.barred.append(Reason(f"{about.asks_reason} Only {who_may('move.fragile')} may move it."))
    about.minds = [text for text in (what.cast.handling, _hazards(what)) if text]
    if held := _held_elsewhere(what):
        about.minds.append(held)
    return about


def _hazards(what: Subject) -> str:
    return f"Hazards: {what.cast.hazards}" if what.cast.hazards else ""


def _held_elsewhere(what: Subject) -> str:
    line = holder_now([what.cast]).get(what.cast.pk)
    if line is None or line.ours:
        return ""
    who, since = line.holder or line.holder_words or "Somebody else", say.day(local(line.at).date())
    return f"{who} has it since {since}. Moving it does not change who holds it."


def _about_place(reader: Actor, what: Place) -> About:
    where = f"It is {where_words_long(what.parent)}." if what.parent else "Nobody has said yet where it is."
    about = About(what.code, what.href, what.name, where)
    if not what.movable:
        about.barred = [Reason(f"{what.code} is not a container: it does not move.")]
        return about
    much = sum_in(reader, what)
    if much.n_casts:
        things = say.capital(say.plural(much.n_pieces, "piece"))
        about.goes_with = f"{things} of {say.plural(much.n_casts, 'cast')} go with it."
    inside = [Subject(p.cast, p.piece) for p in placements_in(reader, what)]
    if numbers := list(dict.fromkeys(s.cast.number for s in inside if s.cast.fragile)):
        named = say.listed(numbers[:5]) + (" and others" if len(numbers) > 5 else "")
        about.minds.append(f"Fragile things are in it: {named}. Carry it level, do not stack it.")
    about.barred = what_hinders_any(inside, "move")
    return about


def _about_target(reader: Actor, about: About, what: Subject | Place, to: Place) -> None:
    about.to = to.code
    if isinstance(what, Place):
        about.barred += rules.hinders_standing_in(what.code, to.code, [p.code for p in path_of(to)])
    about.barred += what_hinders_putting(to)
    about.barred += rules.hinders_load(to.code, load_of(reader, to, what))
    if to.fitness:
        about.minds.append(f"What {to.code} is fit for: {to.fitness}")
    if to.who_enters:
        about.minds.append(f"{to.code} is entered by {to.who_enters}.")
