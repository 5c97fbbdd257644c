"""The steps of an object that came in: which step leads from where to where, and whose it is. Read by rules, pages and the API."""

from __future__ import annotations

from dataclasses import dataclass

HOWS: list[tuple[str, str]] = [
    ("own excavation", "We dug it"),
    ("offered", "Offered to us"),
    ("for loan", "For loan"),
    ("for examination or treatment", "To look at or mend"),
    ("found in the collection", "Found in the collection"),
    ("back from outside", "Back from outside"),
]
WAYS: list[tuple[str, str]] = [
    ("own excavation", "own excavation"),
    ("gift", "gift"),
    ("bequest", "bequest"),
    ("purchase", "purchase"),
    ("exchange", "exchange"),
    ("transfer", "transfer"),
    ("found in the collection", "found in the collection"),
]
TITLE_STATES: list[tuple[str, str]] = [
    ("clear", "clear"),
    ("clear with conditions", "clear with conditions"),
    ("presumed", "presumed"),
    ("disputed", "disputed"),
    ("unknown", "unknown"),
]


STATES: dict[str, str] = {
    "entered": "entered",
    "proposed": "proposed",
    "accepted": "accepted",
    "accessioned": "accessioned",
    "refused": "refused",
    "given back": "given back",
    "kept for teaching": "kept for teaching",
    "same as another": "same as another",
    "loan in": "a loan to us",
    "job": "a job for others",
}

# how the chip of a state looks
CHIPS = {"proposed": "wants", "accepted": "wants", "refused": "wants", "given back": "gone", "same as another": "gone"}

# without an outcome yet; older than the collection's days they are today's work
OPEN = ("entered", "proposed", "accepted")
# ours to hand on, and not gone: these can still go back
HERE = ("entered", "proposed", "accepted", "refused", "loan in", "job", "kept for teaching")
# over and done with: no number is given from here
CLOSED = ("refused", "given back", "kept for teaching", "same as another")

# what an object is at first, by how it came
FIRST = {"for loan": "loan in", "for examination or treatment": "job"}


@dataclass(frozen=True)
class Step:
    """From `before` by `verb` to `after`, allowed to whom `act` allows it."""

    before: str
    verb: str
    after: str
    act: str


STEPS: list[Step] = [
    *(Step(s, "propose", "proposed", "acquisition.propose") for s in ("entered", "loan in", "job")),
    Step("proposed", "accept", "accepted", "acquisition.decide"),
    Step("proposed", "refuse", "refused", "acquisition.decide"),
    # our own dig is kept by the standing decision; what was decided outside comes with its minute
    *(Step(s, "accession", "accessioned", "accession.do") for s in ("entered", "proposed", "accepted")),
    Step("entered", "refuse at the door", "refused", "exit.write"),
    *(Step(s, "give back", "given back", "exit.write") for s in HERE),
    *(Step(s, "keep for teaching", "kept for teaching", "accession.do") for s in OPEN),
    *(Step(s, "close as the same", "same as another", "accession.do") for s in OPEN),
]


def step(state: str, verb: str) -> Step | None:
    """The step of this verb from this state, if there is one."""
    return next((s for s in STEPS if s.before == state and s.verb == verb), None)
