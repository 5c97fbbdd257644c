"""The press that gives a cast its number and writes its line."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.db.models import QuerySet

from catalog.casts.actions import describe_cast, hold_cast, renumber_cast
from catalog.casts.models import Cast
from catalog.casts.numbers import give
from catalog.ground.acting import action, store, tell
from catalog.ground.collection import collection, today
from catalog.ground.ids import uuid7
from catalog.ground.numbers import next_number
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from registry.accessions import line_members, rules
from registry.accessions.actions.coming_in import me
from registry.accessions.actions.keeping import (
    by_standing_decision,
    hold_case,
    propose,
    stand_by,
    to_state,
    write_outside_decision,
    write_title,
)
from registry.accessions.actions.ledger import append_line, ensure_open, keep_source, with_source
from registry.accessions.models import Accession, EntryObject
from registry.accessions.reads.entries import object_of
from registry.accessions.reads.lacking import for_numbering, known_of, source_of, title_now
from registry.accessions.reads.register import counter_of
from registry.accessions.said import AccessionSaid, CaseSaid, TitleSaid


@action("accession.do")
def accession(actor: Actor, cast: Cast, said: AccessionSaid, *, expected_version: int | None = None) -> Accession:
    """Gives the next number of the year, writes the register line, and keeps what was stated as lacking.

    Refuses with what is missing (`missing` beside the sentences); then nothing is written and no number is used up.
    """
    cast = hold_cast(cast.pk, expected_version)
    _refuse_numbered(cast)
    refuse_if(_wrong_day(said), Refusal)
    ensure_open(actor)
    cast = _settle_words(actor, cast, said)
    _settle_case(actor, cast, said)
    _settle_title(actor, cast, said)
    row = for_numbering(Cast.objects.filter(pk=cast.pk)).get()
    known = known_of(row)
    refuse_if(rules.wrong_found_title(known), Refusal)
    _refuse_missing(known)
    stated = [{"key": k.key, "sentence": k.sentence} for k in rules.lacks(known) if not k.there]
    return _number(actor, cast, row, said, known, stated)


def _refuse_numbered(cast: Cast) -> None:
    thing = object_of(cast)
    numbered = Accession.objects.filter(cast=cast).exists()
    refuse_if(
        rules.hinders_numbering(
            cast.number, state=thing.state if thing else "", closed_as=cast.closed_as, has_number=numbered
        )
    )


def _wrong_day(said: AccessionSaid) -> list[Reason]:
    if said.on and said.on > today():
        return [Reason("This day has not come yet. Write the day it was taken in.", "on", said=said.on.isoformat())]
    return []


def _settle_words(actor: Actor, cast: Cast, said: AccessionSaid) -> Cast:
    """What the sentence of the accession says of the cast itself."""
    changes: dict[str, Any] = {"description": said.description.strip()} if said.description.strip() else {}
    changes |= {"n_parts": said.n_parts} if said.n_parts else {}
    return describe_cast(actor, cast.pk, changes) if changes else cast


def _settle_case(actor: Actor, cast: Cast, said: AccessionSaid) -> None:
    """The case and the decision, as far as they come with this press or stand in the collection's own rule."""
    case, thing = hold_case(cast), object_of(cast)
    how = thing.entry.how if thing else ("own excavation" if cast.excavation_id else "")
    wanted = said.case or (CaseSaid("found in the collection") if how == "found in the collection" else None)
    if case is None and how == "own excavation" and collection().own_digs_kept:
        if wanted and wanted.way != how:
            refuse_if(rules.wrong_case(wanted, how=how), Refusal)
        else:
            by_standing_decision(actor, cast)
            return
    if wanted is None and said.decided and how == "own excavation":
        wanted = CaseSaid("own excavation")
    if wanted and (case is None or (said.case and not case.decision)):
        case = propose(actor, cast, wanted)
    if case is None or case.decision:
        return
    if case.way == how == "own excavation" and collection().own_digs_kept:
        stand_by(cast, case)
    elif said.decided:
        write_outside_decision(actor, cast, case, said.decided)


def _settle_title(actor: Actor, cast: Cast, said: AccessionSaid) -> None:
    """The state that was said, where it is another than the one that holds. Nothing is ever made better by itself."""
    now = title_now(cast)
    if now and said.title and now.state != said.title:
        sentence = f"Title is {now.state} already. It is changed by an act of its own, with what shows it."
        raise Refusal(Reason(sentence, "title", f"/casts/{cast.number}/title/new/", said.title))
    if said.title and (now is None or said.title_paper):
        ground = "said at the accession"
        write_title(actor, cast, TitleSaid(said.title, on=said.on, paper_words=said.title_paper, ground=ground))


def _refuse_missing(known: rules.Known) -> None:
    reasons = rules.missing_for_number(known)
    if not reasons:
        return
    missing = [
        {"what": lack.key, "detail": lack.sentence, "who": lack.who, "remedy": lack.href}
        for lack in rules.lacks(known)
        if lack.holds_up and not lack.there
    ]
    raise Refusal(*reasons, missing=missing)


def _number(
    actor: Actor, cast: Cast, row: Any, said: AccessionSaid, known: rules.Known, stated: list[dict[str, str]]
) -> Accession:
    year, pattern = today().year, collection().accession_pattern
    number = give(pattern, year, next_number(counter_of("accession", pattern, year)))
    entry, by = cast.number, said.by or me(actor)
    renumber_cast(actor, cast, number, year=year)
    to_state(object_of(cast), "accession", "accessioned", closed_on=today())
    on = said.on or today()
    made = Accession(uid=uuid7(), cast=cast, number=number, on=on, dated=on.isoformat(), by=by, way=known.way)
    made.lacks = stated
    text = line_members.source_words(
        way=known.way, from_whom=source_of(row), excavation=known.excavation, permit=known.permit
    )
    commit, salt = with_source(text)
    members = line_members.accession_members(
        number=number,
        entry=entry if known.entry else None,
        object=line_members.object_words(cast.description, cast.animal, cast.material),
        pieces=cast.n_parts,
        mass_g=cast.mass_g,
        title=known.title,
        from_commit=commit,
        act=str(made.uid),
        date=made.dated if on != today() else "",
    )
    right = said.clock_is_right
    made.line = append_line(actor, "accession", members, cast=cast, by=by.pk if by else None, clock_is_right=right)
    keep_source(made.line, salt, text)
    tell(number, accessioned=True, line=made.line.n)
    return store(made)


@action("accession.do")
def accession_many(actor: Actor, entry_pk: int, said: AccessionSaid) -> list[Accession]:
    """All objects of an entry that can still have a number, in one press: all or none."""
    things = _numberable(entry_pk)
    if not things:
        raise Hindered("No object of this entry waits for a number.")
    casts = [hold_cast(pk) for pk in sorted(thing.cast_id for thing in things)]
    ranks = {thing.cast_id: thing.index for thing in things}
    made, refused, missing = [], [], []
    for cast in sorted(casts, key=lambda c: ranks[c.pk]):
        entered_as = cast.number
        try:
            made.append(accession(actor, cast, said))
        except Refusal as refusal:
            if type(refusal) is not Refusal:
                raise
            refused += [replace(r, sentence=f"{entered_as}: {r.sentence}") for r in refusal.reasons]
            missing += [m | {"of": entered_as} for m in refusal.more.get("missing", [])]  # type: ignore[attr-defined]
    if refused:
        raise Refusal(*refused, missing=missing)
    return made


def _numberable(entry_pk: int) -> QuerySet[EntryObject]:
    return EntryObject.objects.filter(entry_id=entry_pk, state__in=["entered", "proposed", "accepted"])
