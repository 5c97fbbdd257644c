"""The case for keeping, the paper by which title passes, the letter that answers an offer."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import Cast
from catalog.ground import say
from catalog.ground.collection import collection, today
from catalog.ground.edtf import in_words
from catalog.ground.keeping import Draft
from catalog.ground.refusal import Hindered, Reason
from catalog.ground.roles import Actor
from catalog.people.models import Person
from registry.accessions.models import Acquisition, EntryObject
from registry.accessions.papers.family import draft, family, parts_said, said_of, shown_number, signs
from registry.accessions.reads.entries import object_of
from registry.accessions.reads.lacking import title_now
from registry.accessions.reads.told import answer_given
from registry.accessions.rules.keeping import BY_PAPER


def _case(cast: Cast) -> Acquisition:
    rows = Acquisition.objects.select_related("from_person", "proposed_by__person", "decided_by__person")
    case = rows.filter(cast=cast).first()
    if case is None:
        sentence = f"{cast.number} is not proposed yet. Propose it first."
        raise Hindered(Reason(sentence, remedy=f"/casts/{cast.number}/proposal/"))
    return case


def _from_whom(reader: Actor, case: Acquisition | None, thing: EntryObject | None) -> tuple[str, bool]:
    """Who gives it: as the case says, else the owner, else who brought it in."""
    told: list[tuple[Person | None, str]] = [(case.from_person, case.from_words)] if case else []
    if thing:
        told += [(thing.entry.owner, thing.entry.owner_words), (thing.entry.from_person, thing.entry.from_words)]
    return next((said_of(who, words, reader) for who, words in told if who or words.strip()), ("", False))


def acquisition_proposal(reader: Actor, cast: Cast) -> Draft:
    """The case for keeping a cast, and the decision with its minute, or room for it."""
    case, thing = _case(cast), object_of(cast)
    owner, private = _from_whom(reader, case, thing)
    ours, number = case.way == "own excavation", shown_number(cast)
    facts = family(
        "Acquisition proposal",
        of=cast.number,
        shown=number,
        sentence=f"{case.proposed_by.person.name} proposes to take this cast into the collection.",
        object={
            "what": cast.description,
            "parts": parts_said(cast.n_parts),
            "entry": thing.entry.number if thing else "none",
        }
        | _animal(cast),
        case={
            "why": case.case,
            "owner": owner or (collection().name if ours else ""),
            "way": case.way,
            "title": _title_evidence(cast),
            "lawful": _lawful(cast),
            "restrictions": case.conditions or "none asked",
        },
        proposed={"by": case.proposed_by.person.name, "on": say.day(case.proposed_on)},
        signatures=_proposal_signatures(case),
        printed={"from": f"version {case.version}"},
    )
    if case.decision:
        facts["decision"] = _decision(case)
    title = f"Acquisition proposal for {number}"
    return draft("acquisition-proposal", cast.number, facts, title, private=private)


def _animal(cast: Cast) -> dict[str, dict[str, str]]:
    if cast.taxon:
        called = {"common": cast.taxon.common_name, "latin": cast.taxon.name, "qualifier": cast.qualifier}
        return {"animal": called}
    return {"animal": {"common": cast.animal_words}} if cast.animal_words else {}


def _title_evidence(cast: Cast) -> str:
    title = title_now(cast)
    if title is None:
        return ""
    paper = title.paper_words or (title.document.what if title.document else "")
    return f"{title.state}, by {paper}" if paper else title.state


def _lawful(cast: Cast) -> str:
    dig = cast.excavation
    if dig is None:
        return ""
    papers = [f"permit {dig.permit.number}"] if dig.permit else []
    papers += [f"landowner’s consent {dig.consent.number}"] if dig.consent else []
    return "; ".join(papers) or dig.permit_exception


def _who_decided(case: Acquisition) -> str:
    alone = f", single-handed{f', before {case.witness}' if case.witness else ''}" if case.single_handed else ""
    name = case.decider or (case.decided_by.person.name if case.decided_by else "")
    return f"{name}{alone}"


def _decision(case: Acquisition) -> dict[str, Any]:
    what = (
        f"{case.decision}, by the standing decision on own excavations" if case.by_standing_decision else case.decision
    )
    on = say.day(case.decided_on) if case.decided_on else ""
    return {
        "what": what,
        "by": _who_decided(case),
        "on": on,
        "minute": case.minute,
        "reasons": case.ground or None,
        "conditions": case.conditions or None,
    }


def _proposal_signatures(case: Acquisition) -> list[dict[str, str]]:
    proposed = signs("I propose it.", case.proposed_by.person.name, on=say.day(case.proposed_on))
    return [proposed, signs("I have decided as written here.", _who_decided(case) if case.decision else "")]


def transfer_of_title(reader: Actor, cast: Cast) -> Draft:
    """By this paper title passes from the giver to us; for both to sign."""
    case, thing = _case(cast), object_of(cast)
    if case.way not in BY_PAPER:
        raise Hindered(f"{cast.number} is to become ours by {case.way}: nobody gives it, so no title is transferred.")
    giver, private = _from_whom(reader, case, thing)
    name, _, address = giver.partition("\n")
    us, title, number = Person.objects.filter(is_us=True).first(), title_now(cast), shown_number(cast)
    facts = family(
        "Transfer of title",
        of=cast.number,
        shown=number,
        sentence="The giver makes over to the receiver what is named here, with all rights of an owner.",
        giver={"name": name, "address": address},
        receiver={"name": us.name if us else collection().name, "address": collection().address.strip()},
        way=case.way,
        objects=[{"number": number, "what": cast.description, "parts": parts_said(cast.n_parts)}],
        passes_on=in_words(title.passed_on) if title and title.passed_on else "the day both have signed",
        warranty="that it is theirs, that they may give it, and that nobody else has a claim to it",
        conditions=case.conditions or "none",
        rights="",
        signatures=[signs("I make over what is named here.", name, "owner"), signs("We accept it on these terms.")],
        printed={"from": f"version {case.version}"},
    )
    return draft("transfer-of-title", cast.number, facts, f"Transfer of title for {number}", private=private)


def letter(reader: Actor, cast: Cast) -> Draft:
    """The answer to an offer: refused, with the reasons; or thanks."""
    case, thing = Acquisition.objects.filter(cast=cast).select_related("from_person").first(), object_of(cast)
    answer = answer_given(case, thing)
    if not answer:
        raise Hindered(f"Nothing is decided on {cast.number} that a letter could answer. Decide first.")
    to, private = _from_whom(reader, case, thing)
    name, _, address = to.partition("\n")
    number, kind = shown_number(cast), f"letter-of-{answer}"
    facts = family(
        "Letter",
        of=cast.number,
        shown=number,
        to={"name": name, "address": address},
        our_sign=thing.entry.number if thing else number,
        place_date=say.day(today()),
        subject=f"What you offered us on {say.day(thing.entry.came_on)}" if thing else f"About {number}",
        greeting=f"Dear {name.split(',')[0]}," if name else "Good day,",
        farewell="With kind regards,",
        signatures=[signs(f"For {collection().name}")],
        **(_no_thanks(cast, case, thing) if answer == "refusal" else _thanks(cast, number)),
    )
    title = f"Letter about {number}"
    return draft(kind, cast.number, facts, title, private=private, template="letter_of_refusal")


def _no_thanks(cast: Cast, case: Acquisition | None, thing: EntryObject | None) -> dict[str, Any]:
    ground = (case.ground if case else "") or (thing.ground if thing else "")
    entry = thing.entry if thing else None
    opening = (
        f"Thank you for the offer of this: {cast.description.rstrip('.')}.\n\n"
        "We cannot take it into the collection, for the reasons written here:"
    )
    if thing and thing.state == "given back":
        closing = "It has gone back to you; its exit note is your receipt."
    elif entry and entry.back_by:
        closing = f"It waits for you here until {say.day(entry.back_by)} and is kept as carefully as what is ours."
    else:
        closing = "It waits for you here and is kept as carefully as what is ours. Tell us when you come for it."
    return {
        "opening": opening,
        "reasons": [row for row in ground.split("\n") if row.strip()],
        "closing": closing + _reach(),
    }


def _thanks(cast: Cast, number: str) -> dict[str, Any]:
    opening = f"Thank you for this: {cast.description.rstrip('.')}."
    if cast.year:
        opening += (
            f"\n\nIt is in our register now, under the number {number}. By that number anybody here will find it."
        )
    else:
        opening += "\n\nIt was decided to take it into the collection. It gets its number in our register next."
    return {
        "opening": opening,
        "reasons": [],
        "closing": "We are glad to have it, and tell you what comes of it whenever you ask." + _reach(),
    }


def _reach() -> str:
    ours = collection().reach_us.strip()
    return f"\n\nHow to reach us: {ours}" if ours else ""
