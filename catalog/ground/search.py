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
from django.db.models import Count, Q, QuerySet

from catalog.ground.models import SearchEntry, SearchLink, SearchPart, SearchWord


@dataclass(frozen=True)
class Found:
    """One findable thing: `words` weigh fully, `notes` are said to be found in notes. `public` is made of what is published."""

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
    loud = words_of(f"{one.number} {one.title} {one.words}")
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
        SearchPart.objects.bulk_create(
            [SearchPart(part=p, word_id=i) for w, i in made.items() for p in sorted(parts_of(w))]
        )
        known |= made
    return known


def _beginning_with(word: str) -> Q:
    if connection.vendor == "sqlite":
        return Q(text__gte=word, text__lt=word + "\U0010ffff")
    return Q(text__startswith=word)


def words_like(word: str, *, most: int = 12) -> list[int]:
    """Ids of the words that begin so, or, where none does, of those most like it (shared runs of three letters)."""
    exact = list(SearchWord.objects.filter(_beginning_with(word)).order_by("text").values_list("pk", flat=True)[:200])
    return exact or [pk for pk, _, _ in _near(word)[:most]]


def _near(word: str) -> list[tuple[int, str, float]]:
    mine = parts_of(word)
    if len(word) < 3:
        return []
    shared = (
        SearchPart.objects.filter(part__in=mine)
        .values("word_id", "word__text")
        .annotate(n=Count("id"))
        .order_by("-n")[:400]
    )
    near = [(row["word_id"], row["word__text"], _likeness(mine, row["n"], row["word__text"])) for row in shared]
    return sorted([n for n in near if n[2] >= 0.34], key=lambda n: -n[2])


def _likeness(mine: set[str], shared: int, other: str) -> float:
    return shared / (len(mine) + len(parts_of(other)) - shared)


def did_you_mean(word: str) -> list[str]:
    return [text for _, text, _ in _near(fold(word))[:3]]


def find(text: str, *, public: bool = False, kinds: Iterable[str] = (), most: int = 20) -> list[SearchEntry]:
    """Entries for what was typed: by number first, then those that have every word, then most of them.

    A visitor's search looks only at public entries. Bounded: at most 8 words are looked at.
    """
    entries = SearchEntry.objects.filter(public=public)
    if kinds:
        entries = entries.filter(kind__in=list(kinds))
    by_number = list(entries.filter(number_key=squeeze(text)).order_by("-weight")[:most]) if squeeze(text) else []
    ranked = _by_words(entries, words_of(text)[:8], most)
    there = {e.pk for e in by_number}
    return (by_number + [e for e in ranked if e.pk not in there])[:most]


def _by_words(entries: QuerySet[SearchEntry], typed: list[str], most: int) -> list[SearchEntry]:
    if not typed:
        return []
    hits: Tally[int] = Tally()
    for word in typed:
        ids = words_like(word)
        if not ids:
            continue
        found = SearchLink.objects.filter(word_id__in=ids, entry__in=entries).values_list("entry_id", "note")[:2000]
        best: dict[int, float] = {}
        for entry_id, note in found:
            best[entry_id] = max(best.get(entry_id, 0), 0.5 if note else 1.0)
        for entry_id, weight in best.items():
            hits[entry_id] += weight  # type: ignore[assignment]
    if not hits:
        return []
    top = hits.most_common(most * 3)
    least = max(0.5, top[0][1] * 0.6)
    rows = {e.pk: e for e in entries.filter(pk__in=[pk for pk, w in top if w >= least])}
    return sorted(rows.values(), key=lambda e: (-hits[e.pk], -e.weight, e.title))[:most]


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
