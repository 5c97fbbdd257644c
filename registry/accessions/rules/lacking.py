"""What is there and what is missing before a cast can have its number, in sentences, with who mends it and where.

Only a line of description, the number of parts, a state of title and, for what is not our own dig, the decision of
someone else hold the number up. Every other lack may be stated: it goes into the accession and stays on Today.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from catalog.ground.refusal import Reason
from catalog.ground.say import day, plural
from registry.accessions.rules.keeping import BY_PAPER

KEEPER = "The keeper decides."
REGISTRAR = "The registrar writes it."
ANYONE = "Whoever knows it writes it."


@dataclass(frozen=True)
class Known:
    """The facts about one cast that the rules look at."""

    number: str
    description: str = ""
    n_parts: int | None = None
    how: str = ""
    way: str = ""
    title: str = ""
    title_paper: str = ""
    proposed_by: str = ""
    decision: str = ""
    decider: str = ""
    decided_on: date | None = None
    minute: str = ""
    single_handed: bool = False
    standing: bool = False
    standing_minute: str = ""
    entry: str = ""
    source: str = ""
    excavation: str = ""
    permit: str = ""
    consent: str = ""
    exception: str = ""
    animal: str = ""
    material: str = ""
    mass: str = ""
    place: str = ""
    photographs: bool = False
    search_record: str = ""
    more: dict[str, str] = field(default_factory=dict)

    @property
    def own_dig(self) -> bool:
        """We dug it: by its entry, else by the way that was proposed."""
        return (self.how or self.way) == "own excavation"

    @property
    def found(self) -> bool:
        return (self.way or self.how) == "found in the collection"

    @property
    def href(self) -> str:
        return f"/casts/{self.number}/"


@dataclass(frozen=True)
class Lack:
    """One thing: there or missing, in a sentence; who mends it, at which address. `holds_up`: no number without it."""

    key: str
    there: bool
    sentence: str
    who: str = ""
    href: str = ""
    way: str = ""
    holds_up: bool = False

    @property
    def act(self) -> str:
        """The act by which it is mended: its way is offered to whom that act is allowed."""
        return "acquisition.decide" if self.href.endswith("/decision/") else _MENDS.get(self.key, "record.read")


_MENDS = {
    **dict.fromkeys(("description", "parts", "material", "mass", "excavation"), "cast.describe"),
    **dict.fromkeys(("decision", "search"), "acquisition.propose"),
    **dict.fromkeys(("permit", "consent"), "excavation.write"),
    "title": "accession.do",
    "title paper": "title.change",
    "source": "entry.make",
    "animal": "determination.propose",
    "photograph": "photo.add",
    "place": "move.do",
}


def lacks(known: Known) -> list[Lack]:
    """All that is looked at for a number: what holds it up first, then what may be stated."""
    return [*_holding_up(known), *_stated(known)]


def missing_for_number(known: Known) -> list[Reason]:
    """What still holds the number up, as reasons; none when it can be given."""
    fields = {"description": "description", "parts": "parts", "title": "title", "decision": "decided"}
    return [Reason(lack.sentence, fields[lack.key], lack.href) for lack in _holding_up(known) if not lack.there]


def _holding_up(k: Known) -> Iterator[Lack]:
    change = f"{k.href}change/"
    if k.description.strip():
        yield Lack("description", True, f"What it is: {k.description}", holds_up=True)
    else:
        yield Lack("description", False, "What it is, in a line.", ANYONE, change, "Record what it is", holds_up=True)
    if k.n_parts:
        yield Lack("parts", True, f"It came in {plural(k.n_parts, 'part')}.", holds_up=True)
    else:
        yield Lack("parts", False, "How many parts came in?", ANYONE, change, "Count them", holds_up=True)
    if k.title:
        yield Lack("title", True, _title_words(k), holds_up=True)
    else:
        yield Lack(
            "title", False, "The state of title. Unknown counts.", REGISTRAR, f"{k.href}accession/", "Say it",
            holds_up=True,
        )  # fmt: skip
    yield _decision(k)


def _title_words(k: Known) -> str:
    words = f"Title is {k.title}"
    if k.found and k.title in ("unknown", "presumed", "disputed"):
        return f"{words}: found in the collection, title unproven."
    return f"{words}, by {k.title_paper}." if k.title_paper else f"{words}."


def _decision(k: Known) -> Lack:
    if k.decision == "refused":
        return Lack("decision", False, f"It was refused{_on(k)}. A new case needs a new entry.", KEEPER, holds_up=True)
    if k.decision == "accepted":
        alone = ", single-handed" if k.single_handed else ""
        return Lack(
            "decision", True, f"{k.decider or 'Someone else'} decided{_on(k)} to keep it{alone}.", holds_up=True
        )
    if k.own_dig and k.standing:
        minute = f" ({k.standing_minute})" if k.standing_minute else ""
        return Lack(
            "decision", True, f"Own excavations are kept by the keeper’s standing decision{minute}.", holds_up=True
        )
    if k.proposed_by:
        sentence = f"The decision of someone else: {k.proposed_by} proposed it."
        return Lack("decision", False, sentence, KEEPER, f"{k.href}decision/", "Decide", holds_up=True)
    sentence = "The decision of someone else to keep it. It is not proposed yet."
    return Lack("decision", False, sentence, ANYONE, f"{k.href}proposal/", "Propose it", holds_up=True)


def _on(k: Known) -> str:
    return f" on {day(k.decided_on)}" if k.decided_on else ""


def _stated(k: Known) -> Iterator[Lack]:
    change = f"{k.href}change/"
    if k.own_dig:
        yield from _of_the_dig(k)
    else:
        mend = f"/entries/{k.entry}/change/" if k.entry else f"{k.href}proposal/"
        yield _either(
            "source", k.source, f"It came from {k.source}.", "Who owned it before us?", ANYONE, mend, "Write it"
        )
    if k.way in BY_PAPER or (k.title in ("clear", "clear with conditions") and not k.own_dig):
        title = f"{k.href}title/new/"
        yield _either(
            "title paper", k.title_paper, f"Title by {k.title_paper}.", "A paper that says title passed to us.",
            REGISTRAR, title, "Add it",
        )  # fmt: skip
    if k.found:
        search = f"{k.href}proposal/"
        yield _either(
            "search", k.search_record, "The search is on record.",
            "The search: registers, former numbers, loan files, photographs, people.", ANYONE, search, "Record it",
        )  # fmt: skip
    yield _either("animal", k.animal, f"Animal: {k.animal}.", "Which animal made it?", ANYONE, f"{k.href}determinations/new/", "Say which")  # fmt: skip
    yield _either("material", k.material, f"Made of {k.material}.", "What is it made of?", ANYONE, change, "Record it")
    yield _either("mass", k.mass, f"Weighs {k.mass}.", "What does it weigh?", ANYONE, change, "Record it")
    yield _either("photograph", k.photographs, "It is photographed.", "A photograph.", ANYONE, k.href, "Add one")
    yield _either("place", k.place, f"It is at {k.place}.", "Where is it?", ANYONE, f"/movements/new/?of={k.number}", "Put it somewhere")  # fmt: skip


def _of_the_dig(k: Known) -> Iterator[Lack]:
    change = f"{k.href}change/"
    if not k.excavation:
        yield Lack("excavation", False, "From which excavation?", ANYONE, change, "Name it")
        return
    yield Lack("excavation", True, f"From excavation {k.excavation}.")
    if k.exception:
        yield Lack("permit", True, f"No permit or consent was needed: {k.exception}")
        return
    dig = f"/excavations/{k.excavation}/change/"
    yield _either("permit", k.permit, f"Under permit {k.permit}.", "The permit to collect.", ANYONE, dig, "Link it")
    yield _either("consent", k.consent, f"With the landowner’s consent {k.consent}.", "The landowner’s consent.", ANYONE, dig, "Link it")  # fmt: skip


def _either(key: str, there: object, yes: str, no: str, who: str, href: str, way: str) -> Lack:
    return Lack(key, True, yes) if there else Lack(key, False, no, who, href, way)


def wrong_found_title(k: Known) -> list[Reason]:
    """What was found in the collection has no better title than its papers, or the keeper's decision on the search, give it."""
    if not k.found or k.title_paper or k.title not in ("clear", "clear with conditions", "presumed"):
        return []
    if k.title == "presumed" and k.search_record and k.decision == "accepted":
        return []
    sentence = "Found in the collection: title is unknown until a paper shows it, or presumed once the keeper decides so on a recorded search."
    return [Reason(sentence, "title", said=k.title)]


def names_a_place(object_words: str, *, place: str) -> bool:
    """Whether the words of a line, which stand for ever and go out on papers, name the place of the dig."""
    return bool(place.strip()) and place.casefold() in object_words.casefold()
