"""Lines that are not a new number: taken over from an older register, put right, made void."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from catalog.casts.actions import describe_cast, hold_cast, record_cast, renumber_cast
from catalog.casts.models import Cast
from catalog.casts.numbers import read
from catalog.ground.acting import action, store, tell
from catalog.ground.collection import collection, today
from catalog.ground.edtf import read_edtf
from catalog.ground.numbers import never_below
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor
from registry.accessions import line_members, rules
from registry.accessions.actions.keeping import keep_paper, to_state
from registry.accessions.actions.ledger import append_line, ensure_open, hold_head
from registry.accessions.models import Accession, LedgerLine, Title
from registry.accessions.reads.entries import object_of
from registry.accessions.reads.lacking import title_now
from registry.accessions.reads.register import correctable, counter_of, original_of, standing_value
from registry.accessions.said import CorrectionSaid, TranscribedSaid


@action("accession.do")
def transcribe_line(actor: Actor, said: TranscribedSaid) -> LedgerLine:
    """Takes a line over from an older register: the cast keeps that number and date, and the line says which book it is from."""
    number = said.number.strip()
    refuse_if(rules.wrong_transcribed(said), Refusal)
    _refuse_given(number)
    day = _day_in(said.date)
    cast = None if said.gone else _cast_of(actor, said, number)
    ensure_open(actor)
    _count(number)
    if said.upload:
        what = f"{said.book}, page {said.page or 'not named'}"
        said = replace(said, scan=keep_paper(actor, "register page", what, said.upload, cast, field="scan"))
    line = append_line(actor, "transcribed", _members(actor, said, number), cast=cast)
    if cast:
        _numbered(actor, cast, said, number, day, line)
    tell(number, taken_over=True, line=line.n)
    return line


def _day_in(text: str) -> date | None:
    """The one day an EDTF date means, or None; refuses what cannot be read or has not come."""
    if not text:
        return None
    try:
        span = read_edtf(text)
    except ValueError as error:
        raise Refusal(Reason(str(error), "date", said=text)) from None
    if span.earliest and span.earliest > today():
        raise Refusal(Reason("This day has not come yet. Write the day as the book says it.", "date", said=text))
    exact = span.precision == "day" and span.earliest == span.latest and not (span.uncertain or span.approximate)
    return span.earliest if exact else None


def _cast_of(actor: Actor, said: TranscribedSaid, number: str) -> Cast:
    """The object that bears the number: one that is entered already, the one that goes by it, or a new record."""
    cast = said.cast or Cast.objects.filter(number__iexact=number).first()
    if cast is None:
        facts: dict[str, Any] = {"description": said.object.strip(), "n_parts": said.parts}
        return hold_cast(record_cast(actor, number, facts).pk)
    held = hold_cast(cast.pk)
    thing, numbered = object_of(held), Accession.objects.filter(cast=held).exists()
    refuse_if(
        rules.hinders_numbering(
            held.number, state=thing.state if thing else "", closed_as=held.closed_as, has_number=numbered
        )
    )
    return held


def _refuse_given(number: str) -> None:
    there = LedgerLine.objects.filter(number__iexact=number, kind__in=["accession", "transcribed", "void"]).first()
    if there:
        sentence = f"{number} stands in line {there.n} of the register already. A number is never given twice."
        raise Refusal(Reason(sentence, "number", f"/register/{there.n}/", number))


def _count(number: str) -> int | None:
    """Numbers go on above every number that was ever used."""
    pattern = collection().accession_pattern
    found = read(pattern, number)
    if found is None:
        return None
    year, n = found
    if year is not None and year > today().year:
        raise Refusal(
            Reason(f"{year} has not come yet. Write the number as it stands in the book.", "number", said=number)
        )
    never_below(counter_of("accession", pattern, year or 0), n)
    return year


def _members(actor: Actor, said: TranscribedSaid, number: str) -> dict[str, Any]:
    reader = said.read_by.pk if said.read_by else actor.person_id
    scan = getattr(said.scan, "sha256", "") or ""
    return line_members.transcribed_members(
        number=number,
        date=said.date,
        object=said.object,
        title=said.title,
        source={
            "book": said.book,
            "page": said.page,
            "entry": said.entry,
            "scan_sha256": scan,
            "read_by": f"p{reader}" if reader else "",
            "sure": said.sure,
        },
    )


def _numbered(
    actor: Actor, cast: Cast, said: TranscribedSaid, number: str, day: date | None, line: LedgerLine
) -> Accession:
    found = read(collection().accession_pattern, number)
    renumber_cast(actor, cast, number, year=found[0] if found else None)
    if said.parts and cast.n_parts is None:
        describe_cast(actor, cast.pk, {"n_parts": said.parts})
    book = line_members.taken_over_words({"book": said.book, "page": said.page, "entry": said.entry})
    now = title_now(cast)
    if now is None or now.state != said.title:
        ground = f"as the older register says ({book[:1].lower()}{book[1:]})"
        store(Title(cast=cast, state=said.title, on=today(), ground=ground, said_by=said.read_by))
    to_state(object_of(cast), "accession", "accessioned", closed_on=today())
    made = Accession(cast=cast, number=number, on=day, dated=said.date, line=line)
    made.taken_over_from = book.removeprefix("Taken over from ")
    return store(made)


@action("register.correct")
def correct_line(actor: Actor, n: int, said: CorrectionSaid) -> LedgerLine:
    """Puts one member of a line right by a new line that names it. A correction of a correction names the correction."""
    hold_head()
    named = LedgerLine.objects.filter(n=n).first()
    if named is None:
        raise Refusal(Reason("The register has no line of this number.", "line", said=str(n)))
    first = original_of(named)
    field = said.field
    fields = correctable(first)
    corrects, was = standing_value(first, field) if field in fields else (first.n, None)
    refuse_if(rules.wrong_correction(said, fields=fields, was=was), Refusal)
    members: dict[str, Any] = {"corrects": corrects, "field": field, "was": was, "is": _is(field, said.is_)}
    members |= {"ground": line_members.sealed(said.ground)} | ({"number": first.number} if first.number else {})
    line = append_line(actor, "correction", members, cast=first.cast)
    tell(f"line {first.n}", corrected=field, line=line.n)
    return line


def _is(field: str, text: str) -> Any:
    if field == "pieces":
        return int(text.strip())
    if field == "date":
        _day_in(text.strip())
    return line_members.sealed(text)


@action("register.void")
def void_number(actor: Actor, number: str, ground: str) -> LedgerLine:
    """Closes a number that was used outside the register, or lost: it stays used for ever."""
    bare = number.strip()
    if bare.upper().startswith(f"{collection().code} ".upper()):
        bare = bare[len(collection().code) :].strip()
    ensure_open(actor)
    given = LedgerLine.objects.filter(number__iexact=bare, kind__in=["accession", "transcribed", "void"]).exists()
    refuse_if(rules.wrong_void(bare, ground, given=given), Refusal)
    if read(collection().accession_pattern, bare) is None:
        raise Refusal(Reason(f"{bare} is not a number of this register.", "number", said=number))
    if Cast.objects.filter(number__iexact=bare).exists():
        raise Hindered(Reason(f"{bare} is borne by a cast. Take its line over from the older register.", "number"))
    _count(bare)
    line = append_line(actor, "void", {"number": bare, "ground": line_members.sealed(ground)})
    tell(bare, void=True, line=line.n)
    return line
