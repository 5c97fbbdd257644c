"""On the page and in the list of casts: what is missing for the number, the line, the title, the state."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db.models import Case, F, QuerySet, Value, When
from django.db.models.functions import Coalesce

from catalog.casts.models import Cast
from catalog.casts.subject import (
    ListColumn,
    Standing,
    Subject,
    columns,
    facts,
    panels,
    standing_of,
    what_hinders,
)
from catalog.ground.asks import Panel
from catalog.ground.collection import local
from catalog.ground.lists import Facet
from catalog.ground.refusal import Reason
from catalog.ground.roles import Actor, may
from registry.accessions.models import Accession, EntryObject, Title
from registry.accessions.page import as_parts, case_facts, missing_words, next_acts
from registry.accessions.reads import case_of, known_of, title_now
from registry.accessions.reads.lacking import for_numbering_at_hand
from registry.accessions.reads.told import lines_of, titles_of
from registry.accessions.rules import lacks
from registry.accessions.states import STATES

WORDS = STATES | {"no number": "no number yet"}


@panels.answer
def in_the_register(reader: Actor, cast: Cast) -> list[Panel]:
    """Under the first question: its line and its title; under what may be done: what is missing for its number."""
    if not may(reader, "record.read"):
        return []
    row = for_numbering_at_hand(cast)
    numbered = getattr(row, "accession", None)
    thing = getattr(row, "entry_object", None)
    line = next((line for line in lines_of(cast) if line.pk == numbered.line_id), None) if numbered else None
    shown = {
        "title": next(iter(titles_of(cast)), None),
        "numbered": numbered,
        "line": line,
        "entry": thing.entry if thing else None,
        "thing": thing,
        **case_facts(case_of(row)),
    }
    found = [Panel("is", "accessions/panel_is.html", shown, 30)]
    looked = lacks(known_of(row))
    if numbered is None and not cast.closed_as:
        acts = next_acts(reader, thing, known_of(row)) or _without_entry(reader, row)
        more = {"say": missing_words(looked, number=cast.number), "lacks": as_parts(reader, looked), "acts": acts}
        found.append(Panel("may", "accessions/panel_may.html", more, 20))
    elif numbered:
        keys = {lack["key"] for lack in numbered.lacks}
        open_ = [lack for lack in looked if lack.key in keys and not lack.there]
        if open_:
            found.append(Panel("may", "accessions/panel_stated.html", {"lacks": as_parts(reader, open_)}, 20))
    return found


def _without_entry(reader: Actor, row: Any) -> list[dict[str, Any]]:
    """A cast that came in by no entry can still be proposed and numbered."""
    if hasattr(row, "entry_object"):
        return []
    offered = [
        ("Take it into the collection", "accession/", "accession.do"),
        ("Propose it", "proposal/", "acquisition.propose"),
    ]
    return [{"label": label, "href": f"{row.href}{deed}"} for label, deed, act in offered if may(reader, act)]


@standing_of.answer
def on_its_way(reader: Actor, cast: Cast) -> list[Standing]:
    """A cast without its number stands where its entry object stands."""
    row = for_numbering_at_hand(cast)
    thing = getattr(row, "entry_object", None)
    if thing is None or thing.state == "accessioned":
        return []
    number = cast.number
    words = {
        "entered": (f"{number} is here and waits for an outcome.", "wants"),
        "proposed": (f"{number} is proposed and waits for a decision.", "wants"),
        "accepted": (f"{number} is accepted and waits for its number.", "wants"),
        "refused": (f"{number} was refused: {thing.ground}", "wants" if not cast.closed_as else "quiet-one"),
        "loan in": (f"{number} is a loan to us.", "quiet-one"),
        "job": (f"{number} is here for a job, and goes back.", "quiet-one"),
        "given back": (f"{number} was given back.", "away-hands"),
        "kept for teaching": (f"{number} is kept for teaching, without a line of the register.", "quiet-one"),
        "same as another": (f"{number} turned out to be another cast.", "quiet-one"),
    }
    say, state = words[thing.state]
    acts = next_acts(reader, thing, known_of(row))[:2]
    main = tuple(a | {"kind": "" if n == 0 else "plain"} for n, a in enumerate(acts))
    return [Standing(say, state, acts=main, rank=4 if cast.closed_as else 40)]


def _with_state(rows: QuerySet[Cast], reader: Actor) -> QuerySet[Cast]:
    numbered = Case(When(accession__isnull=False, then=Value("accessioned")), default=Value("no number"))
    return rows.annotate(register_state=Coalesce(F("entry_object__state"), numbered))


@columns.answer
def state_of_casts() -> list[ListColumn]:
    """The state of a cast on its way, or that it has its number."""
    return [
        ListColumn(
            name="state",
            head="State",
            annotate=_with_state,
            column="register_state",
            facet=Facet("state", "register_state", "How does it stand?", WORDS),
            value=lambda row: WORDS.get(row.register_state, row.register_state),
        )
    ]


@facts.answer
def register_facts(reader: Actor, casts: list[Cast], at: datetime | None) -> list[tuple[int, str, Any]]:
    """`state`, `title`, `line` of these casts, now or as they stood at an instant: three queries, however many."""
    keys = [cast.pk for cast in casts]
    lines = Accession.objects.filter(cast__in=keys)
    titles = Title.objects.filter(cast__in=keys)
    if at is not None:
        lines, titles = lines.filter(line__at__lte=at), titles.filter(on__lte=local(at).date())
    numbered = dict(lines.values_list("cast_id", "line__n"))
    held = dict(titles.order_by("on", "pk").values_list("cast_id", "state"))
    states = dict(EntryObject.objects.filter(cast__in=keys).values_list("cast_id", "state")) if at is None else {}
    found: list[tuple[int, str, Any]] = []
    for pk in keys:
        state = "accessioned" if pk in numbered else states.get(pk, "no number" if at is None else "")
        found += [(pk, "state", state), (pk, "title", held.get(pk, "")), (pk, "line", numbered.get(pk))]
    return found


@what_hinders.answer
def no_longer_here(subject: Subject, deed: str) -> list[Reason]:
    """What is gone, or not ours to hand on, in the way of a deed."""
    cast = subject.cast
    if deed in ("move", "treat", "touch", "mount", "lend", "publish") and cast.closed_as in (
        "given back",
        "same as another",
    ):
        return [Reason(f"{subject} cannot be handled: it is closed as “{cast.closed_as}”.", "", cast.href)]
    if deed == "lend" and (title := title_now(cast)) and title.state == "disputed":
        return [Reason(f"{subject} cannot be lent: its title is disputed.", "", f"{cast.href}title/new/")]
    return []
