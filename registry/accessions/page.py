"""What pages show of an entry and of a cast on its way to a number: where it stands, what is missing, which acts come next."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import Cast
from catalog.ground import say
from catalog.ground.collection import collection, today
from catalog.ground.roles import Actor, may
from catalog.ground.sight import visible_to
from registry.accessions import line_members
from registry.accessions.models import Acquisition, Entry, EntryObject, StatedValue
from registry.accessions.reads import decider_of, for_numbering, known_of, next_line, number_to_come, source_of
from registry.accessions.rules import Known, Lack, lacks
from registry.accessions.states import STATES
from registry.places.models import Placement
from registry.places.reads import holder_now

Act = dict[str, Any]
_ENDS = ("give-back/", "refuse/", "keep-for-teaching/", "same-as/")


def entry_facts(reader: Actor, entry: Any) -> dict[str, Any]:
    """An entry with its objects: each with its state, place, what holds its number up, and what may be done next."""
    things = list(entry.things)
    casts = for_numbering(visible_to(reader, Cast.objects.filter(pk__in=[t.cast_id for t in things])))
    by_pk, ours = {c.pk: c for c in casts}, collection()
    places = {p.cast_id: p.place for p in Placement.objects.select_related("place").filter(cast__in=by_pk, piece=None)}
    holders = holder_now(by_pk.values())
    rows = [
        _row(reader, t, by_pk[t.cast_id], ours, places.get(t.cast_id), holders) for t in things if t.cast_id in by_pk
    ]
    value = StatedValue.objects.filter(entry=entry).first() if may(reader, "value.read") else None
    waiting = [r for r in rows if r["acts"] and r["thing"].state in ("entered", "proposed", "accepted", "refused")]
    return {
        "entry": entry,
        "rows": rows,
        "value": value,
        "standing": _standing(entry, rows),
        "many": sum(r["thing"].state in ("entered", "proposed", "accepted") for r in rows) > 1,
        "first": waiting[0] if waiting else None,
        "age": (today() - entry.came_on).days,
    }


def _row(
    reader: Actor, thing: EntryObject, cast: Any, ours: Any, place: Any, holders: dict[int, Any]
) -> dict[str, Any]:
    known = known_of(cast, ours)
    looked = lacks(known)
    return {
        "thing": thing,
        "cast": cast,
        "place": place,
        "holder": holders.get(cast.pk),
        "word": STATES[thing.state],
        "word_state": thing.chip,
        "open": as_parts(reader, [lack for lack in looked if lack.holds_up]),
        "acts": (acts := next_acts(reader, thing, known)),
        "ends": [a for a in acts if a["ends"]],
    }


def _standing(entry: Entry, rows: list[dict[str, Any]]) -> dict[str, Any]:
    states = [r["thing"].state for r in rows]
    waits = [r["cast"].number for r in rows if r["thing"].state in ("entered", "proposed", "accepted")]
    if "refused" in states and not waits:
        number = next(r["cast"].number for r in rows if r["thing"].state == "refused")
        return {"say": f"{number} was refused and waits to go back.", "state": "wants"}
    if not waits:
        return {"say": f"{entry.number} is finished: {_ended(rows)}.", "state": "quiet-one"}
    if len(waits) > 1:
        return {
            "say": f"{say.capital(say.plural(len(waits), 'object'))} of {entry.number} wait for an outcome.",
            "state": "wants",
        }
    state = next(r["thing"].state for r in rows if r["cast"].number == waits[0])
    words = {
        "entered": f"{waits[0]} is here and waits for an outcome.",
        "proposed": f"{waits[0]} is proposed and waits for a decision.",
        "accepted": f"{waits[0]} is accepted and waits for its number.",
    }
    return {"say": words[state], "state": "wants"}


def _ended(rows: list[dict[str, Any]]) -> str:
    words = [f"{r['cast'].number} is {r['word']}" for r in rows]
    return say.listed(words) if len(words) <= 3 else f"its {len(words)} objects have their outcome"


def next_acts(reader: Actor, thing: EntryObject | None, known: Known) -> list[Act]:
    """What this reader may do next with an object, the likeliest first. What is not allowed is not offered."""
    if thing is None:
        return []
    state, href = thing.state, known.href
    kept = known.own_dig and known.standing
    offered: list[tuple[str, str, str, bool]] = [
        ("Take it into the collection", "accession/", "accession.do", state == "accepted" or (state == "entered" and kept)),
        ("Record what it is", "change/", "cast.describe", state in ("entered", "proposed", "accepted", "loan in", "job")),
        ("Propose it", "proposal/", "acquisition.propose", state in ("loan in", "job") or (state == "entered" and not kept)),
        ("Decide", "decision/", "acquisition.decide", state == "proposed"),
        ("Read the case", "proposal/", "acquisition.propose", state == "proposed"),
        ("Take it into the collection", "accession/", "accession.do", state == "proposed" or (state == "entered" and not kept)),
        ("Give it back", "give-back/", "exit.write", state in ("entered", "proposed", "accepted", "refused", "loan in", "job", "kept for teaching")),
        ("Refuse it", "refuse/", "exit.write", state == "entered" and known.how in ("offered", "back from outside")),
        ("Keep it for teaching", "keep-for-teaching/", "accession.do", state in ("entered", "proposed", "accepted")),
        ("It is the same as another", "same-as/", "accession.do", state in ("entered", "proposed", "accepted")),
    ]  # fmt: skip
    return [
        {"label": label, "href": f"{href}{deed}", "ends": deed in _ENDS}
        for label, deed, act, fits in offered
        if fits and may(reader, act)
    ]


def as_parts(reader: Actor, found: list[Lack]) -> list[dict[str, Any]]:
    """Lacks as the part `lack` of the look takes them; the way to the place to mend only for who may mend it."""
    return [
        {
            "there": k.there,
            "sentence": k.sentence,
            "who": k.who,
            "href": k.href if may(reader, k.act) else "",
            "way": k.way,
            "key": k.key,
        }
        for k in found
    ]


def missing_words(found: list[Lack], *, number: str = "it") -> str:
    """Two things are missing before it can have its number."""
    n = sum(1 for k in found if k.holds_up and not k.there)
    if not n:
        return f"Nothing holds up the number of {number}."
    are = "thing is" if n == 1 else "things are"
    return f"{say.capital(say.number_word(n))} {are} missing before {number} can have its number."


def accession_facts(reader: Actor, cast: Cast) -> dict[str, Any]:
    """The page of the press: what is there, what is missing, the line as it will stand."""
    row: Any = for_numbering(visible_to(reader, Cast.objects.filter(pk=cast.pk))).get()
    known, ours = known_of(row), collection()
    looked = lacks(known)
    holding = [k for k in looked if k.holds_up and not k.there]
    holding_parts = as_parts(reader, [k for k in looked if k.holds_up])
    words = line_members.object_words(cast.description, cast.animal, cast.material)
    way = known.way or (known.how if known.own_dig or known.found else "")
    source = line_members.source_words(
        way=way, from_whom=source_of(row), excavation=known.excavation, permit=known.permit
    )
    place = row.excavation.site.name if row.excavation and row.excavation.site else ""
    return {
        "cast": row,
        "known": known,
        "case": getattr(row, "acquisition", None),
        "holding": [part | {"href": "" if part["key"] == "title" else part["href"]} for part in holding_parts],
        "may_stay": as_parts(reader, [k for k in looked if not k.holds_up and not k.there]),
        "there": as_parts(reader, [k for k in looked if not k.holds_up and k.there]),
        "n_missing": len(holding),
        "say": missing_words(looked, number=cast.number),
        "undecided": any(k.key == "decision" for k in holding),
        "line": next_line(),
        "number": number_to_come(),
        "object": words,
        "source": source,
        "names_place": place if place and place.casefold() in words.casefold() else "",
        "code": ours.code,
        "entry": row.entry_object.entry if hasattr(row, "entry_object") else None,
    }


def case_facts(case: Acquisition | None) -> dict[str, Any]:
    """The case and the decision on it, for pages."""
    return {"case": case, "decider": decider_of(case) if case else ""}
