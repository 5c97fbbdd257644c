"""The one box: this number, what to do with it, what is like it, and whatever has the words."""

from __future__ import annotations

from dataclasses import dataclass, field
from urllib.parse import quote

from catalog.casts.models import FormerNumber
from catalog.ground import look, search
from catalog.ground.asks import Bearer
from catalog.ground.models import SearchEntry
from catalog.ground.roles import Actor, may
from catalog.ground.sight import visible_to
from registry.desk.reads.numbers import NotOurs, bearers, not_ours, the_one
from registry.desk.rules import Doing, deeds_with, doing
from registry.places.models import Place

HEADINGS = {
    "cast": "Casts",
    "piece": "Pieces",
    "entry": "Entries",
    "excavation": "Excavations",
    "place": "Places",
    "person": "People and bodies",
    "taxon": "Animals",
    "site": "Sites",
    "permit": "Permits",
    "materiallot": "Material lots",
    "bag": "Bags",
}
_MOST = 40


@dataclass(frozen=True)
class Row:
    """One line of what was found; `was` where it was found by a number it bore before."""

    title: str
    href: str
    number: str = ""
    hint: str = ""
    was: str = ""
    icon: str = ""


@dataclass
class Looked:
    """What the box found. `go` is where Enter leads at once, empty where there is more than one answer; `go_number` is what bears it."""

    text: str
    this: list[Row] = field(default_factory=list)
    do: list[Row] = field(default_factory=list)
    do_with: str = ""
    ways: list[Row] = field(default_factory=list)
    groups: list[tuple[str, list[Row]]] = field(default_factory=list)
    in_notes: list[Row] = field(default_factory=list)
    meant: dict[str, list[str]] = field(default_factory=dict)
    not_ours: NotOurs | None = None
    go: str = ""
    go_number: str = ""

    @property
    def nothing(self) -> bool:
        return not (self.this or self.do or self.ways or self.groups or self.in_notes)


def looked_up(reader: Actor, text: str) -> Looked:
    """Everything that the box says to this text, for this reader. The number of queries does not grow with what there is."""
    found = Looked(text)
    if not text:
        return found
    mine = bearers(reader, text)
    found.this = [Row(b.title, b.href, b.number, b.kind) for b in mine]
    one = the_one(mine)
    if one:
        found.go, found.go_number = one.href, one.number
    if reader.staff:
        _what_to_do(reader, found, mine)
        if found.do and not mine:
            return found  # a sentence that was understood asks for nothing else
        found.not_ours = None if mine else not_ours(reader, text)
    how = search.numbered if found.not_ours else search.find
    entries = how(text, public=not reader.staff, most=_MOST)
    _group(reader, found, entries)
    if not mine and not (entries and entries[0].number_key == search.squeeze(text)):
        found.meant = search.misspelt(text, public=not reader.staff)
    return found


def _what_to_do(reader: Actor, found: Looked, mine: list[Bearer]) -> None:
    wanted = doing(found.text)
    if wanted and wanted.verb == "bring in" and may(reader, "entry.make"):
        found.do, found.go = [Row("Bring in an object", "/entries/new/", icon="add")], "/entries/new/"
    elif wanted and wanted.what:
        _as_it_was_said(reader, found, wanted)
    elif one := the_one(mine):
        found.do, found.do_with = _deeds(reader, one), one.number
    typed = found.text.casefold()
    named = [w for w in look.ways(reader) if len(typed) > 2 and w.word.casefold().startswith(typed)]
    found.ways = [Row(way.word, way.href) for way in named]


def _as_it_was_said(reader: Actor, found: Looked, wanted: Doing) -> None:
    """`move K-12 to B-3`: the page of the deed, filled in. Nothing is written by it."""
    thing = the_one(bearers(reader, wanted.what))
    if thing is None:
        return
    rows = _deeds(reader, thing, wanted.verb)
    if rows and wanted.to:
        to = next((b.number for b in bearers(reader, wanted.to) if b.kind in ("place", "container")), wanted.to)
        rows = [Row(f"Move {thing.number} to {to}", f"{rows[0].href}&to={quote(to, safe='')}", icon=rows[0].icon)]
    found.do, found.do_with = rows, thing.number
    found.go = rows[0].href if rows else found.go


def _deeds(reader: Actor, thing: Bearer, verb: str = "") -> list[Row]:
    number = quote(thing.number, safe="")
    wanted = [deed for deed in deeds_with(thing.kind, verb) if may(reader, deed.act)]
    return [Row(deed.words, deed.at[thing.kind].format(number), icon=deed.icon) for deed in wanted]


def _group(reader: Actor, found: Looked, entries: list[SearchEntry]) -> None:
    """By kind, in the order of the best of each; what was found in notes only stands apart, what bears the number stands above."""
    above = {row.href for row in found.this}
    former = _borne_before(found.text, entries) if reader.staff else {}
    groups: dict[str, list[Row]] = {}
    for entry in entries:
        if entry.href in above:
            continue
        row = Row(entry.title, entry.href, entry.number, entry.hint, former.get((entry.kind, entry.object_id), ""))
        if getattr(entry, "in_notes", False):
            found.in_notes.append(row)
        else:
            groups.setdefault(HEADINGS.get(entry.kind, "Else"), []).append(row)
    found.groups = list(groups.items())


def _borne_before(text: str, entries: list[SearchEntry]) -> dict[tuple[str, int], str]:
    """The former number, as it was written, by which each was found."""
    key = search.squeeze(text)
    if not key or not entries:
        return {}
    rows = FormerNumber.objects.filter(key=key).values_list("cast_id", "piece_id", "text", "where_from")[:50]
    said: dict[tuple[str, int], str] = {}
    for cast, piece, written, where in rows:
        words = f"{written}, {where}" if where else written
        said["cast", cast] = words
        if piece:
            said["piece", piece] = words
    return said


KINDS = ("place", "cast", "excavation", "person", "taxon")
_OFFERED = 8


def suggested(reader: Actor, kind: str, text: str) -> list[dict[str, str]]:
    """At most eight of a kind for a chooser: what begins with this number first, then whatever has the words."""
    key = search.squeeze(text)
    if not key or kind not in KINDS or not may(reader, "find"):
        return []
    rows = SearchEntry.objects.filter(kind=kind, public=False)
    begun = list(rows.filter(search.beginning_with("number_key", key)).order_by("number_key")[: 2 * _OFFERED])
    there = {e.pk for e in begun}
    found = [*begun, *(e for e in search.find(text, kinds=[kind], most=2 * _OFFERED) if e.pk not in there)]
    if kind == "place":
        return _open_places(reader, found)[:_OFFERED]
    return [_offer(kind, e) for e in found[:_OFFERED]]


def _offer(kind: str, entry: SearchEntry) -> dict[str, str]:
    if kind in ("cast", "excavation"):
        hint = " · ".join(words for words in (entry.title, entry.hint) if words and words != entry.number)
        return {"value": entry.number, "name": entry.number, "hint": hint}
    return {"value": str(entry.object_id), "name": entry.title, "hint": entry.hint}


def _open_places(reader: Actor, found: list[SearchEntry]) -> list[dict[str, str]]:
    """Places that something can be put in, each with its code and what it stands in."""
    rows = visible_to(reader, Place.objects.select_related("parent")).filter(closed_on__isnull=True)
    places = rows.in_bulk([e.object_id for e in found])
    return [
        {"value": p.code, "name": p.name, "hint": f"{p.code} · in {p.parent.name}" if p.parent else p.code}
        for e in found
        if (p := places.get(e.object_id))
    ]
