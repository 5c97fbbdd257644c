"""The register as it is read: its lines in words, its head, the proof of a line, what a line says now."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.conf import settings
from django.db.models import F, OuterRef, QuerySet, Subquery, Value
from django.db.models.functions import Coalesce

from catalog.casts.numbers import give
from catalog.ground import say
from catalog.ground.collection import collection, today
from catalog.ground.models import Job
from catalog.ground.numbers import last_number
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.people.models import Person
from registry.accessions.line_members import CORRECTABLE, KINDS, in_words, origin_of
from registry.accessions.models import Accession, LedgerHead, LedgerLine, Title
from registry.accessions.seal import EMPTY, Proof, Tree, seal_words, sides

CHECK = "verify register"


@dataclass(frozen=True)
class LineView:
    """One line as pages, papers and exports show it. `now` names the line that puts it right, if any does."""

    n: int
    kind: str
    kind_words: str
    number: str
    at: datetime
    words: str
    source: str
    who: str
    seal: str
    entry: str
    corrects: int | None
    corrected_by: tuple[int, ...]
    members: dict[str, Any]
    cast_number: str
    date: str

    @property
    def href(self) -> str:
        return f"/register/{self.n}/"


def members_of(line: LedgerLine) -> dict[str, Any]:
    """What is sealed in a line."""
    return dict(json.loads(bytes(line.raw)))


def lines_for_list(reader: Actor) -> QuerySet[LedgerLine]:
    """Lines with what a row of the register shows."""
    return visible_to(reader, LedgerLine.objects.select_related("cast", "source"))


def accessions_for_list(reader: Actor) -> QuerySet[Accession]:
    """Accessions with their line, the state of title that holds and the entry's number."""
    newest = Title.objects.filter(cast=OuterRef("cast")).order_by("-pk").values("state")[:1]
    rows = Accession.objects.select_related("line", "by", "cast")
    return visible_to(reader, rows).annotate(
        title_state=Coalesce(Subquery(newest), Value("")), entry_number=F("cast__entry_object__entry__number")
    )


def line_at(reader: Actor, n: int | str) -> LedgerLine:
    """The line of this place in the register. NotFound otherwise."""
    text = str(n)
    digits = text.isascii() and text.isdigit() and len(text) < 10
    line = lines_for_list(reader).filter(n=int(text)).first() if digits else None
    if line is None:
        raise NotFound("The register has no line of this number.")
    return line


def line_views(lines: Iterable[LedgerLine]) -> list[LineView]:
    """Lines in words, with names and later corrections: two queries, however many lines."""
    rows = list(lines)
    members = {line.n: members_of(line) for line in rows}
    keys = {int(m["by"][1:]) for m in members.values() if str(m.get("by", ""))[1:].isdigit()}
    names = dict(Person.objects.filter(pk__in=keys).values_list("pk", "name"))
    later: dict[int | None, list[int]] = {}
    for n, corrects in LedgerLine.objects.filter(corrects__in=members).order_by("n").values_list("n", "corrects"):
        later.setdefault(corrects, []).append(n)
    return [_view(line, members[line.n], names, tuple(later.get(line.n, ()))) for line in rows]


def _view(line: LedgerLine, members: dict[str, Any], names: dict[int, str], later: tuple[int, ...]) -> LineView:
    by = str(members.get("by", ""))
    source = line.source.text if hasattr(line, "source") else ""
    return LineView(
        n=line.n,
        kind=line.kind,
        kind_words=KINDS.get(line.kind, line.kind),
        number=line.number,
        at=line.at,
        words=in_words(members, source=source),
        source=source,
        who=names.get(int(by[1:]), "") if by[1:].isdigit() else "",
        seal=seal_words(bytes(line.head)),
        entry=str(members.get("entry") or ""),
        corrects=line.corrects,
        corrected_by=later,
        members=members,
        cast_number=line.cast.number if line.cast else "",
        date=str(members.get("date") or ""),
    )


def line_view(line: LedgerLine) -> LineView:
    """One line in words."""
    return line_views([line])[0]


def head_now() -> LedgerHead | None:
    return LedgerHead.objects.filter(pk=1).first()


def next_line() -> int:
    """The number of the line that will be written next."""
    head = head_now()
    return (head.size if head else 0) + 1


def root_now() -> bytes:
    """The head after the last line: the root over all lines."""
    last = LedgerLine.objects.order_by("-n").values_list("head", flat=True).first()
    return bytes(last) if last else EMPTY


def _opening() -> dict[str, Any]:
    line = LedgerLine.objects.filter(n=1).first()
    return members_of(line) if line else {}


def register_code() -> str:
    """The collection's code as the opening line says it; numbers in lines bear it for ever."""
    return str(_opening().get("collection") or collection().code)


def register_origin() -> str:
    """Which register this is, as the opening line says it."""
    return str(_opening().get("register") or origin_of(settings.BASE_ADDRESS, collection().code))


def counter_of(kind: str, pattern: str, year: int) -> str:
    """The name under which numbers of a kind are counted: by year where the pattern has one."""
    return f"{kind} {year}" if "{year}" in pattern else kind


def number_to_come(year: int | None = None) -> str:
    """The number that would be given next, unless somebody is quicker."""
    pattern, year = collection().accession_pattern, year or today().year
    return give(pattern, year, last_number(counter_of("accession", pattern, year)) + 1)


def entry_number_to_come() -> str:
    pattern, year = collection().entry_pattern, today().year
    return give(pattern, year, last_number(counter_of("entry", pattern, year)) + 1)


def raw_lines(after: int = 0) -> Iterator[bytes]:
    """Every line's sealed bytes with a line feed behind it, in order: what is checked without us."""
    rows = LedgerLine.objects.filter(n__gt=after).order_by("n").values_list("raw", flat=True)
    for raw in rows.iterator(chunk_size=1000):
        yield bytes(raw) + b"\n"


def proof_of(n: int, size: int | None = None) -> tuple[Proof, bytes]:
    """The proof that leads from line `n` to the head of `size` lines (all, if not said), and that head."""
    leaves = LedgerLine.objects.order_by("n").values_list("leaf", flat=True)
    tree = Tree(bytes(leaf) for leaf in leaves.iterator(chunk_size=5000))
    size = size or tree.size
    hashes = tree.inclusion(n - 1, size)
    return Proof(n, size, list(zip(sides(n - 1, size), hashes, strict=True))), tree.root(size)


def correctable(line: LedgerLine) -> list[str]:
    """The members of a line that may be put right."""
    members = members_of(line)
    return [name for name in CORRECTABLE.get(line.kind, []) if name in members or name != "date"]


def standing_value(line: LedgerLine, name: str) -> tuple[int, Any]:
    """Which line says now what `name` of this line is, and what it says: the last correction of the chain, or the line itself."""
    said, value = line.n, members_of(line).get(name)
    while later := _correction(said, name):
        said, value = later.n, members_of(later).get("is")
    return said, value


def _correction(n: int, name: str) -> LedgerLine | None:
    rows = LedgerLine.objects.filter(corrects=n).order_by("-n")
    return next((row for row in rows if members_of(row).get("field") == name), None)


def original_of(line: LedgerLine) -> LedgerLine:
    """The line that a correction, or a correction of one, leads back to."""
    while line.corrects:
        line = LedgerLine.objects.get(n=line.corrects)
    return line


def checked_last() -> Job | None:
    """The last check of the whole register, with its sentence as `result`."""
    return Job.objects.filter(kind=CHECK, ended_at__isnull=False).exclude(result="").order_by("-ended_at").first()


def register_sentence() -> str:
    """`412 lines since 2026.`"""
    head = head_now()
    if not head or not head.size:
        return "The register has no line yet."
    begun = LedgerLine.objects.filter(n=1).values_list("at", flat=True).get()
    return f"{say.capital(say.plural(head.size, 'line', words=False))} since {begun.year}."
