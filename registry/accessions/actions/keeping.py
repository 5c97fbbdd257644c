"""The case for keeping a cast, the decision of someone else, and the state of title."""

from __future__ import annotations

from typing import Any

from catalog.casts.actions import hold_cast
from catalog.casts.models import Cast
from catalog.ground.acting import action, locked, store, tell
from catalog.ground.collection import collection, today
from catalog.ground.refusal import Hindered, NotAllowed, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor, demand
from catalog.media.actions import keep_document
from registry.accessions import line_members, rules
from registry.accessions.actions.coming_in import at_field
from registry.accessions.actions.ledger import append_line
from registry.accessions.models import Accession, Acquisition, EntryObject, Title
from registry.accessions.reads.entries import object_of
from registry.accessions.reads.lacking import title_now
from registry.accessions.said import CaseSaid, DecisionSaid, TitleSaid


def _account(actor: Actor) -> int:
    assert actor.account_id is not None, "a case is made by somebody who is signed in"
    return actor.account_id


def hold_case(cast: Cast) -> Acquisition | None:
    """The case for a held cast, held too."""
    rows = Acquisition.objects.select_for_update(of=("self",), no_key=True).select_related("proposed_by__person")
    return rows.filter(cast=cast).first()


def to_state(thing: EntryObject | None, verb: str, after: str, **more: Any) -> None:
    """Takes an object of an entry one step on, or refuses in a sentence."""
    if thing is None:
        return
    refuse_if(rules.hinders_step(thing.cast.number, thing.state, verb))
    thing.state = after
    for name, value in more.items():
        setattr(thing, name, value)
    store(thing)


@action("acquisition.propose")
def propose(actor: Actor, cast: Cast, said: CaseSaid, *, expected_version: int | None = None) -> Acquisition:
    """Makes the case for keeping it; before it is decided the case can be made better, afterwards only the search be added."""
    cast = hold_cast(cast.pk)
    case, thing = hold_case(cast), object_of(cast)
    if case:
        return _amend(case, said, thing, expected_version)
    if Accession.objects.filter(cast=cast).exists():
        raise Hindered(f"{cast.number} has its number already. There is nothing to propose.")
    refuse_if(rules.wrong_case(said, how=thing.entry.how if thing else ""), Refusal)
    to_state(thing, "propose", "proposed")
    made = Acquisition(cast=cast, proposed_by_id=_account(actor), proposed_on=today())
    _write(made, said)
    tell(cast.number, proposed=True)
    return store(made)


def _amend(case: Acquisition, said: CaseSaid, thing: EntryObject | None, expected_version: int | None) -> Acquisition:
    case = locked(Acquisition, expected_version, pk=case.pk)
    if case.decision:
        if said.search_record.strip() and said.search_record.strip() != case.search_record:
            case.search_record = said.search_record.strip()
            return store(case)
        refuse_if(rules.hinders_deciding(decision=case.decision))
    refuse_if(rules.wrong_case(said, how=thing.entry.how if thing else ""), Refusal)
    _write(case, said)
    return store(case)


def _write(case: Acquisition, said: CaseSaid) -> None:
    case.way, case.case, case.conditions = said.way, said.case.strip(), said.conditions.strip()
    case.from_person, case.from_words = said.from_person, said.from_words.strip()
    case.search_record = said.search_record.strip() or case.search_record


@action("acquisition.decide")
def decide(actor: Actor, cast: Cast, said: DecisionSaid, *, expected_version: int | None = None) -> Acquisition:
    """Decides on the case of someone else; in a collection of one single-handed, before a witness who may be named later."""
    cast = hold_cast(cast.pk)
    case = hold_case(cast)
    if case is None:
        raise Hindered(
            Reason(f"{cast.number} is not proposed yet. Propose it first.", "", f"/casts/{cast.number}/proposal/")
        )
    case = locked(Acquisition, expected_version, pk=case.pk)
    demand(actor, "acquisition.decide", case)
    _refuse_own(actor, case)
    refuse_if(rules.hinders_deciding(decision=case.decision))
    wrong = rules.wrong_decision(
        said, today=today(), proposed_on=case.proposed_on, outside=False, proposers=[], alone=actor.alone
    )
    refuse_if(wrong, Refusal)
    case.decided_by_id = actor.account_id
    if case.proposed_by_id == actor.account_id:
        case.single_handed, case.witness = True, said.witness.strip() or actor.alone_before
    return _decided(cast, case, said)


def _refuse_own(actor: Actor, case: Acquisition) -> None:
    """Who wrote on the case is not who decides on it either."""
    if not actor.alone and case.history.filter(history_user_id=actor.account_id).exists():
        raise NotAllowed("Nobody decides on a case they wrote themselves. Another person has to do it.")


def _decided(cast: Cast, case: Acquisition, said: DecisionSaid) -> Acquisition:
    case.decision, case.decided_on = said.decision, said.on or today()
    case.minute, case.ground = said.minute.strip(), said.ground.strip()
    store(case)
    if said.decision == "accepted":
        to_state(object_of(cast), "accept", "accepted")
    else:
        to_state(object_of(cast), "refuse", "refused", ground=case.ground[:500])
    tell(cast.number, decided=said.decision)
    return case


def write_outside_decision(actor: Actor, cast: Cast, case: Acquisition, said: DecisionSaid) -> Acquisition:
    """Writes down what somebody else decided, with the minute in which it stands. Part of the act that gives the number."""
    refuse_if(rules.hinders_deciding(decision=case.decision))
    mine = [actor.name, case.proposed_by.person.name]
    wrong = rules.wrong_decision(
        said, today=today(), proposed_on=case.proposed_on, outside=True, proposers=mine, alone=actor.alone
    )
    inside = [Reason(r.sentence, f"decided/{r.field}", r.remedy, r.said) for r in wrong]
    refuse_if(inside, Refusal)
    if any(rules.same_name(said.by, name) for name in mine):
        case.decided_by_id, case.single_handed = actor.account_id, True
        case.witness = said.witness.strip() or actor.alone_before
    else:
        case.decider = " ".join(said.by.split())
    return _decided(cast, case, said)


def by_standing_decision(actor: Actor, cast: Cast) -> Acquisition:
    """Our own dig: kept by the collection's standing decision, recorded with its minute."""
    to_state(object_of(cast), "propose", "proposed")
    made = Acquisition(cast=cast, way="own excavation", proposed_by_id=_account(actor), proposed_on=today())
    return stand_by(cast, made)


def stand_by(cast: Cast, case: Acquisition) -> Acquisition:
    """The standing decision put on a case for an own dig."""
    ours = collection()
    case.by_standing_decision, case.decision = True, "accepted"
    case.decided_on, case.decider = ours.own_digs_decided_on or today(), ours.own_digs_decided_by
    case.minute = ours.own_digs_minute
    store(case)
    to_state(object_of(cast), "accept", "accepted")
    return case


@action("acquisition.decide")
def name_witness(actor: Actor, cast: Cast, witness: str) -> Acquisition:
    """Names the outside witness of a decision that one person took alone."""
    cast = hold_cast(cast.pk)
    case = hold_case(cast)
    if case is None or not case.single_handed:
        raise Hindered(f"Nobody decided on {cast.number} single-handed. It needs no witness.")
    words = " ".join(witness.split())
    if not words:
        raise Refusal(Reason("Write who can say that it was so: a name from outside the house.", "witness"))
    if rules.same_name(words, actor.name):
        raise Refusal(Reason("A witness is somebody else.", "witness", said=witness))
    case.witness = words[:200]
    return store(case)


@action("title.change")
def state_title(actor: Actor, cast: Cast, said: TitleSaid) -> Title:
    """Writes the state of title that holds from now on. Where the cast has its number, the register says so in a line of its own."""
    cast = hold_cast(cast.pk)
    _refuse_decider(actor, cast)
    before = title_now(cast)
    made = write_title(actor, cast, said)
    numbered = Accession.objects.filter(cast=cast).first()
    if numbered and (before is None or before.state != made.state):
        members = {"number": numbered.number, "title": made.state, "was": before.state if before else None}
        ground = said.ground or made.paper_words or (str(made.document) if made.document else "")
        members |= {"ground": line_members.sealed(ground), "minute": line_members.sealed(said.minute) or None}
        append_line(actor, "title change", members, cast=cast)
    tell(cast.number, title=made.state)
    return made


def _refuse_decider(actor: Actor, cast: Cast) -> None:
    decided = Acquisition.objects.filter(cast=cast, decided_by_id=actor.account_id, by_standing_decision=False).exists()
    if decided and not actor.alone:
        raise NotAllowed("Title is not written by who decided the case. Another registrar has to do it.")


def write_title(actor: Actor, cast: Cast, said: TitleSaid) -> Title:
    """One state of title of a held cast. Earlier ones stay."""
    before = title_now(cast)
    refuse_if(rules.wrong_title(said, today=today(), now=before.state if before else ""), Refusal)
    made = Title(cast=cast, state=said.state, on=said.on or today(), passed_on=said.passed_on, document=said.document)
    made.paper_words, made.ground, made.said_by = said.paper_words.strip(), said.ground.strip(), said.said_by
    if said.upload:
        made.document = keep_paper(actor, "title", said.paper_words or "title paper", said.upload, cast)
    return store(made)


def keep_paper(actor: Actor, kind: str, what: str, upload: Any, cast: Cast | None, *, field: str = "paper") -> Any:
    """The paper as a photograph or PDF, kept byte for byte."""
    with at_field(field):
        return keep_document(actor, kind=kind, what=what[:300], upload=upload, cast=cast)
