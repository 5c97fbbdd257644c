"""Finding: an index of folded words beside the records, refreshed in the transaction of each write.

A model is findable by `search_entries() -> list[Found]`. Letters are folded in Python, so both databases find alike.
A misspelt word is looked for among the words that occur, by runs of three letters.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter as Tally
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import connection
from django.db.models import Count, Exists, OuterRef, Q, QuerySet

from catalog.ground.models import SearchEntry, SearchLink, SearchPart, SearchWord


@dataclass(frozen=True)
class Found:
    """One findable thing: `words` weigh fully, `notes` are said to be found in notes. `public` is made of what is published.

    `others` are further numbers it is found by however they are typed: former numbers, numbers it went by before.
    """

    kind: str
    object_id: int
    title: str
    href: str
    number: str = ""
    hint: str = ""
    words: str = ""
    notes: str = ""
    public: bool = False
    weight: int = 0
    others: tuple[str, ...] = ()


def fold(text: str) -> str:
    """Lower case, no accents, full-width folded: `Ångström` -> `angstrom`."""
    plain = unicodedata.normalize("NFKD", text)
    kept = "".join(c for c in plain if not unicodedata.combining(c))
    return kept.casefold().replace("ø", "o").replace("ł", "l").replace("đ", "d").replace("æ", "ae").replace("œ", "oe")


def words_of(text: str) -> list[str]:
    """Folded words in order, each once, at most 60 letters."""
    return list(dict.fromkeys(w[:60] for w in re.findall(r"\w+", fold(text))))


def squeeze(number: str) -> str:
    """A number without its separators and case, for finding what was typed another way: `Nest 7` -> `nest7`."""
    return re.sub(r"[\W_]+", "", fold(number))[:60]


_NUMBER = "="  # no word has it: a whole number stands among the words as one


def _as_number(number: str) -> str:
    return _NUMBER + squeeze(number)[:59]


def parts_of(word: str) -> set[str]:
    """Runs of three letters, with the word's ends marked."""
    marked = f" {word} "
    return {marked[i : i + 3] for i in range(len(marked) - 2)}


def refresh(touched: Iterable[Any]) -> None:
    """Writes the entries of what an act touched anew."""
    for record in touched:
        if hasattr(record, "search_entries"):
            write(type(record).__name__.lower(), record.pk, record.search_entries())


def write(kind: str, object_id: int, found: list[Found]) -> None:
    """Makes the entries of one thing exactly these."""
    there = {e.public: e for e in SearchEntry.objects.filter(kind=kind, object_id=object_id)}
    for one in found:
        _write_one(kind, object_id, one, there.pop(one.public, None))
    if there:
        SearchEntry.objects.filter(pk__in=[e.pk for e in there.values()]).delete()


def _write_one(kind: str, object_id: int, one: Found, entry: SearchEntry | None) -> None:
    entry = entry or SearchEntry(kind=kind, object_id=object_id, public=one.public)
    entry.number, entry.number_key = one.number[:60], squeeze(one.number)
    entry.title, entry.hint, entry.href, entry.weight = one.title[:300], one.hint[:300], one.href[:300], one.weight
    entry.save()
    loud = words_of(f"{one.number} {one.title} {one.words}") + [_as_number(n) for n in one.others if squeeze(n)]
    quiet = [w for w in words_of(one.notes) if w not in set(loud)]
    wanted = {**dict.fromkeys(quiet, True), **dict.fromkeys(loud, False)}
    ids = _word_ids(list(wanted))
    have = dict(SearchLink.objects.filter(entry=entry).values_list("word_id", "note"))
    want = {ids[w]: note for w, note in wanted.items()}
    gone = [w for w in have if want.get(w) != have[w]]
    if gone:
        SearchLink.objects.filter(entry=entry, word_id__in=gone).delete()
    fresh = [SearchLink(entry=entry, word_id=w, note=note) for w, note in want.items() if have.get(w) != note]
    SearchLink.objects.bulk_create(fresh, ignore_conflicts=True)


def _word_ids(words: list[str]) -> dict[str, int]:
    known = dict(SearchWord.objects.filter(text__in=words).values_list("text", "pk"))
    new = [w for w in words if w not in known]
    if new:
        SearchWord.objects.bulk_create([SearchWord(text=w) for w in sorted(new)], ignore_conflicts=True)
        made = dict(SearchWord.objects.filter(text__in=new).values_list("text", "pk"))
        parts = [(p, i) for w, i in made.items() if w[0] != _NUMBER for p in sorted(parts_of(w))]
        SearchPart.objects.bulk_create([SearchPart(part=p, word_id=i) for p, i in parts])
        known |= made
    return known


def beginning_with(column: str, text: str) -> Q:
    """Rows whose column begins so, in the way that this database's index serves."""
    if connection.vendor == "sqlite":
        return Q(**{f"{column}__gte": text, f"{column}__lt": text + "\U0010ffff"})
    return Q(**{f"{column}__startswith": text})


def words_like(word: str, *, public: bool = False, most: int = 12) -> list[int]:
    """Ids of the words that begin so, or, where none does, of those most like it (shared runs of three letters).

    A figure is itself first: 1 is not 14. A visitor's words are those of public entries.
    """
    known = _known(public)
    if word.isdigit() and (whole := list(known.filter(text=word).values_list("pk", flat=True))):
        return whole
    exact = list(known.filter(beginning_with("text", word)).order_by("text").values_list("pk", flat=True)[:200])
    return exact or [pk for pk, _ in _near(word, public)[:most]]


def _known(public: bool) -> QuerySet[SearchWord]:
    """The words of a class of readers: what stands only in records that are not published is no word for a visitor."""
    if not public:
        return SearchWord.objects.all()
    return SearchWord.objects.filter(Exists(SearchLink.objects.filter(word=OuterRef("pk"), entry__public=True)))


def _near(word: str, public: bool = False) -> list[tuple[int, str]]:
    """Words most like this one, as (id, text), likest first."""
    if len(word) < 3:
        return []
    mine = parts_of(word)
    rows = SearchPart.objects.filter(part__in=mine)
    if public:
        rows = rows.filter(Exists(SearchLink.objects.filter(word=OuterRef("word"), entry__public=True)))
    shared = rows.values_list("word_id", "word__text").annotate(n=Count("id")).order_by("-n")[:400]
    near = [(pk, text, _likeness(mine, n, text)) for pk, text, n in shared]
    return [(pk, text) for pk, text, like in sorted(near, key=lambda n: (-n[2], n[1])) if like >= 0.34]


def _likeness(mine: set[str], shared: int, other: str) -> float:
    return shared / (len(mine) + len(parts_of(other)) - shared)


def did_you_mean(word: str, *, public: bool = False) -> list[str]:
    """At most three words that occur and are like this one."""
    return [text for _, text in _near(fold(word), public)[:3]]


def misspelt(text: str, *, public: bool = False) -> dict[str, list[str]]:
    """Of what was typed the words that no word begins with, each with what it may have been meant for. At most 8 are looked at."""
    found = {}
    for word in words_of(text)[:8]:
        if not _known(public).filter(beginning_with("text", word)).exists() and (
            near := did_you_mean(word, public=public)
        ):
            found[word] = near
    return found


def find(text: str, *, public: bool = False, kinds: Iterable[str] = (), most: int = 20) -> list[SearchEntry]:
    """Entries for what was typed: those of exactly this number, else those that have every word, else most of them.

    A visitor's search looks only at public entries. Bounded: at most 8 words are looked at, four times `most` entries weighed.
    Each entry bears `in_notes`: True where all that was found of it stands in notes.
    """
    by_number = numbered(text, public=public, kinds=kinds, most=most)
    return by_number or _by_words(words_of(text)[:8], _Where(public, tuple(kinds)), most)


def numbered(text: str, *, public: bool = False, kinds: Iterable[str] = (), most: int = 20) -> list[SearchEntry]:
    """Entries whose number, or one of whose other numbers, is this one, however it is typed: `nest 7` finds `Nest 7`."""
    key = squeeze(text)
    if not any(c.isdigit() for c in key):
        return []
    entries = _Where(public, tuple(kinds)).entries()
    found = list(entries.filter(number_key=key).order_by("-weight", "pk")[:most])
    others = entries.filter(links__word__text=_as_number(text)).order_by("-weight", "pk")[:most]
    there = {e.pk for e in found}
    return _marked([*found, *(e for e in others if e.pk not in there)][:most], set())


@dataclass(frozen=True)
class _Where:
    """In whose entries, and in which kinds, is looked."""

    public: bool
    kinds: tuple[str, ...]

    def entries(self) -> QuerySet[SearchEntry]:
        rows = SearchEntry.objects.filter(public=self.public)
        return rows.filter(kind__in=self.kinds) if self.kinds else rows

    def links(self, words: list[int]) -> QuerySet[SearchLink]:
        """Outside notes first. What the staff may not be shown twice, as published too, is left off when the entries are read."""
        rows = SearchLink.objects.filter(word_id__in=words).order_by("note")
        if self.public:
            rows = rows.filter(entry__public=True)
        return rows.filter(entry__kind__in=self.kinds) if self.kinds else rows


def _by_words(typed: list[str], where: _Where, most: int) -> list[SearchEntry]:
    groups = [ids for word in typed if (ids := words_like(word, public=where.public))]
    if not groups:
        return []
    weighed = _with_one(groups[0], where, 4 * most) if len(groups) == 1 else _with_several(groups, where, 4 * most)
    hits, loud = _summed(weighed)
    top = hits.most_common(most * 3)
    least = max(0.5, top[0][1] * 0.6) if top else 0
    rows = where.entries().in_bulk([pk for pk, w in top if w >= least])
    ranked = sorted(rows.values(), key=lambda e: (-hits[e.pk], -e.weight, e.title, e.pk))[:most]
    return _marked(ranked, {e.pk for e in ranked} - loud)


# an entry, which of the typed words it has, and whether that stands in notes
_Hit = tuple[int, int, bool]


def _with_one(ids: list[int], where: _Where, most: int) -> list[_Hit]:
    return [(entry, 0, note) for entry, note in where.links(ids).values_list("entry_id", "note")[:most]]


def _with_several(groups: list[list[int]], where: _Where, most: int) -> list[_Hit]:
    candidates = _with_every(groups, where, most) or _with_any(groups, where, most)
    group_of: dict[int, set[int]] = {}
    for n, ids in enumerate(groups):
        for word in ids:
            group_of.setdefault(word, set()).add(n)
    links = SearchLink.objects.filter(entry__in=candidates, word_id__in=list(group_of))
    found = links.values_list("entry_id", "word_id", "note")
    return [(entry, n, note) for entry, word, note in found for n in group_of[word]]


def _with_every(groups: list[list[int]], where: _Where, most: int) -> set[int]:
    """Keys of entries that have a word of each group; begins with the rarest."""
    rarest_first = sorted(groups, key=lambda ids: SearchLink.objects.filter(word_id__in=ids)[:1000].count())
    rows = where.links(rarest_first[0])
    for ids in rarest_first[1:]:
        rows = rows.filter(Exists(SearchLink.objects.filter(entry=OuterRef("entry"), word_id__in=ids)))
    return set(rows.values_list("entry_id", flat=True)[:most])


def _with_any(groups: list[list[int]], where: _Where, most: int) -> set[int]:
    return {pk for ids in groups for pk in where.links(ids).values_list("entry_id", flat=True)[:most]}


def _summed(hits: list[_Hit]) -> tuple[Tally[int], set[int]]:
    """How much of what was typed each entry has: a word 1, in notes a half. And the entries that have one outside notes."""
    best: dict[tuple[int, int], float] = {}
    for entry, n, note in hits:
        best[entry, n] = max(best.get((entry, n), 0), 0.5 if note else 1.0)
    sums: Tally[int] = Tally()
    for (entry, _), weight in best.items():
        sums[entry] += weight  # type: ignore[assignment]
    return sums, {entry for entry, _, note in hits if not note}


def _marked(entries: list[SearchEntry], in_notes: set[int]) -> list[SearchEntry]:
    for entry in entries:
        entry.in_notes = entry.pk in in_notes  # type: ignore[attr-defined]
    return entries


def rebuild(models: Iterable[type[Any]]) -> tuple[int, int]:
    """Writes every entry anew and takes away those of things that are gone. Returns (written, removed)."""
    written, removed, kinds = 0, 0, []
    for model in models:
        kind = model.__name__.lower()
        kinds.append(kind)
        for record in model._base_manager.iterator(chunk_size=500):
            write(kind, record.pk, record.search_entries())
            written += 1
        stale = SearchEntry.objects.filter(kind=kind).exclude(object_id__in=model._base_manager.values("pk"))
        removed += stale.delete()[0]
    return written, removed + SearchEntry.objects.exclude(kind__in=kinds).delete()[0]
