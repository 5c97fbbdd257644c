"""The case for keeping, the decision of someone else, the state of title."""

from __future__ import annotations

from datetime import date

from catalog.ground.refusal import Reason
from registry.accessions.said import CaseSaid, DecisionSaid, TitleSaid
from registry.accessions.states import TITLE_STATES, WAYS

_LONGEST = 10_000
# ways in which something passes from somebody to us, by a paper
BY_PAPER = frozenset({"gift", "bequest", "purchase", "exchange", "transfer"})


def wrong_case(said: CaseSaid, *, how: str = "") -> list[Reason]:
    """Reasons against a case. `how` is the way in that the entry states: own digs and finds are not claimed for anything else."""
    if said.way not in dict(WAYS):
        return [Reason(f"Say how it is to become ours: {', '.join(k for k, _ in WAYS)}.", "way", said=said.way)]
    found = []
    for way in ("own excavation", "found in the collection"):
        if how and (said.way == way) and how != way:
            sentence = f"It came in as “{how}”, not as “{way}”. Put the entry right, or choose another way."
            found.append(Reason(sentence, "way", said=said.way))
    for name in ("case", "conditions", "search_record"):
        if len(getattr(said, name)) > _LONGEST:
            found.append(Reason(f"Write at most {_LONGEST} letters, or add a paper.", name))
    if len(said.from_words) > 300:
        found.append(Reason("Shorten this to 300 letters.", "from"))
    return found


def hinders_deciding(*, decision: str, decided_by: str = "") -> list[Reason]:
    """A case is decided once."""
    if not decision:
        return []
    by = f" by {decided_by}" if decided_by else ""
    return [Reason(f"This was {decision}{by} already. A new decision needs a new case.")]


def same_name(one: str, other: str) -> bool:
    """Whether two names are of one person, whatever case and spaces."""
    return one.casefold().split() == other.casefold().split() != []


def wrong_decision(
    said: DecisionSaid, *, today: date, proposed_on: date | None, outside: bool, proposers: list[str], alone: bool
) -> list[Reason]:
    """Reasons against a decision.

    `outside`: it was taken elsewhere and is only written down here, so it names who decided, the day and the minute;
    who proposed or writes it (`proposers`) is not who decided, unless the collection is one person's.
    """
    found = []
    if said.decision not in ("accepted", "refused"):
        found.append(Reason("Say whether it is accepted or refused.", "decision", said=said.decision))
    if said.decision == "refused" and not said.ground.strip():
        found.append(Reason("Write why it is refused.", "ground"))
    if said.on and said.on > today:
        found.append(Reason("This day has not come yet. Write the day it was decided.", "on", said=said.on.isoformat()))
    if said.on and proposed_on and said.on < proposed_on and not outside:
        found.append(
            Reason("It was decided before it was proposed. Write a later day.", "on", said=said.on.isoformat())
        )
    return found + (_wrong_outside(said, proposers, alone) if outside else [])


def _wrong_outside(said: DecisionSaid, proposers: list[str], alone: bool) -> list[Reason]:
    found = [] if said.by.strip() else [Reason("Write who decided.", "by")]
    if not said.on:
        found.append(Reason("Write the day on which it was decided.", "on"))
    mine = any(same_name(said.by, name) for name in proposers)
    if mine and not alone:
        sentence = "Nobody decides on what they proposed. Name someone else who decided, or let the keeper decide here."
        found.append(Reason(sentence, "by", said=said.by))
    if not said.minute.strip() and not (alone and mine):
        found.append(Reason("Write the minute or letter in which the decision stands.", "minute"))
    return found


def wrong_title(said: TitleSaid, *, today: date, now: str = "") -> list[Reason]:
    """Reasons against a state of title. `now` is the state that holds; presumed and clear are said by someone, with a ground."""
    if said.state not in dict(TITLE_STATES):
        known = ", ".join(key for key, _ in TITLE_STATES)
        return [Reason(f"Title is one of: {known}. Unknown counts.", "title", said=said.state)]
    found = []
    if said.on and said.on > today:
        found.append(Reason("This day has not come yet.", "on", said=said.on.isoformat()))
    papers = said.document or said.upload or said.paper_words.strip()
    if now and now == said.state and not papers:
        found.append(Reason(f"Title is {now} already. Add a paper to it, or write another state.", "title"))
    if now and now != said.state and not (said.ground.strip() or papers):
        found.append(Reason("Write what shows it: the new evidence, or the paper.", "ground"))
    if len(said.paper_words) > 300:
        found.append(Reason("Shorten this to 300 letters.", "paper"))
    return found
