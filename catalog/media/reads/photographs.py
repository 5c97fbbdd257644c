"""Queries about photographs, papers and their files that pages, the API and other rooms share."""

from __future__ import annotations

import math
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.db.models import F, Max, OuterRef, Q, QuerySet, Subquery

from catalog.casts.models import Cast, Piece
from catalog.casts.reads import subject_of
from catalog.casts.subject import Subject
from catalog.excavations.models import Excavation
from catalog.excavations.reads import excavation_at
from catalog.ground.collection import local, today
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.media.models import Document, FileCheck, Photograph

_ABSENT = "This is not one of ours, or not for your eyes."
# a withdrawn photograph can be put back for so long; then nothing names its file any more, and the sweep takes it
WITHDRAWN_KEPT = timedelta(days=90)


# photographs


def photographs(reader: Actor) -> QuerySet[Photograph]:
    """Photographs this reader may see, with what a row shows of them."""
    rows = Photograph.objects.select_related(
        "cast__excavation__site",
        "cast__original__excavation__site",
        "cast__taxon",
        "piece__cast",
        "excavation__site",
        "by",
    )
    return visible_to(reader, rows)


def in_order(rows: QuerySet[Photograph]) -> QuerySet[Photograph]:
    """The first picture first: the chosen one, then pictures of the whole before those of pieces and of labels."""
    return rows.order_by("of_label", "-rank", F("piece").asc(nulls_first=True), "pk")


def photograph_at(reader: Actor, uid: uuid.UUID) -> Photograph:
    found = photographs(reader).filter(uid=uid).first()
    if found is None:
        raise NotFound(_ABSENT)
    return found


def photographs_of(reader: Actor, of: Cast | Piece | Excavation) -> QuerySet[Photograph]:
    """The standing photographs of a cast with its pieces, of one piece, or of an excavation, the first one first."""
    name = {Cast: "cast", Piece: "piece", Excavation: "excavation"}[type(of)]
    return in_order(photographs(reader).filter(**{name: of}, withdrawn_on__isnull=True))


def withdrawn_of(reader: Actor, of: Cast | Excavation) -> QuerySet[Photograph]:
    """Photographs that were taken off and can still be put back."""
    name = "cast" if isinstance(of, Cast) else "excavation"
    since = today() - WITHDRAWN_KEPT
    return photographs(reader).filter(**{name: of}, withdrawn_on__gt=since).order_by("pk")


def first_pictures(reader: Actor, casts: Iterable[Cast]) -> list[tuple[int, uuid.UUID]]:
    """(key of the cast, public id of its first picture) of those that have one; one query."""
    mine = visible_to(reader, Photograph.objects.filter(cast=OuterRef("pk"), withdrawn_on__isnull=True))
    rows = Cast.objects.filter(pk__in=[c.pk for c in casts]).annotate(first=Subquery(in_order(mine).values("uid")[:1]))
    return [(pk, first) for pk, first in rows.values_list("pk", "first") if first]


def what_bears(reader: Actor, number: str) -> Subject | Excavation:
    """The cast, piece or excavation of this number. NotFound otherwise."""
    try:
        return subject_of(reader, number)
    except NotFound:
        return excavation_at(reader, number.strip())


def category_of(record: Photograph | Document) -> str | None:
    """The strictest category among the sites a file is about; None where no site is on record, which counts as kept back."""
    sites = [dig.site for dig in _digs(record) if dig and dig.site]
    permit = getattr(record, "permit", None)
    sites += [s for s in (getattr(record, "site", None), permit and permit.site) if s]
    return min((s.category for s in sites), default=None)  # "1" is the strictest, "none" sorts last


def _digs(record: Photograph | Document) -> list[Excavation | None]:
    cast = record.cast
    of_original = cast.original.excavation if cast and cast.original else None
    return [record.excavation, cast.excavation if cast else None, of_original]


# papers on record


def documents(reader: Actor) -> QuerySet[Document]:
    rows = Document.objects.select_related(
        "cast__excavation__site",
        "cast__original__excavation__site",
        "excavation__site",
        "permit__site",
        "site",
        "person",
    )
    return visible_to(reader, rows)


def document_at(reader: Actor, uid: uuid.UUID) -> Document:
    found = documents(reader).filter(uid=uid).first()
    if found is None:
        raise NotFound(_ABSENT)
    return found


def papers_of(reader: Actor, cast: Cast) -> QuerySet[Document]:
    return documents(reader).filter(cast=cast).order_by("pk")


# files


@dataclass(frozen=True)
class FileNamed:
    """A file, the words that say of what it is, and the page of the record that names it."""

    sha256: str
    words: str
    href: str


def _standing() -> Q:
    return Q(withdrawn_on__isnull=True) | Q(withdrawn_on__gt=today() - WITHDRAWN_KEPT)


def hashes_on_record() -> list[str]:
    """Hashes of all files that a row names, each once."""
    pictures = Photograph.objects.filter(_standing()).values_list("sha256", flat=True)
    papers = Document.objects.exclude(sha256="").values_list("sha256", flat=True)
    return sorted({*pictures, *papers})


def is_on_record(sha256: str) -> bool:
    return (
        Photograph.objects.filter(_standing(), sha256=sha256).exists()
        or Document.objects.filter(sha256=sha256).exists()
    )


def longest_unchecked(parts: int = 30) -> list[str]:
    """The thirtieth of the files that were looked at the longest ago, never looked at first."""
    checked = dict(FileCheck.objects.values_list("sha256").annotate(at=Max("written_at")))
    known = hashes_on_record()
    never = [h for h in known if h not in checked]
    rest = sorted((h for h in known if h in checked), key=lambda h: checked[h])
    return (never + rest)[: math.ceil(len(known) / parts)]


def last_check(sha256: str) -> FileCheck | None:
    return FileCheck.objects.filter(sha256=sha256).order_by("-pk").first()


def is_of_today(check: FileCheck) -> bool:
    return local(check.written_at).date() == today()


def named(hashes: Iterable[str]) -> list[FileNamed]:
    """What these files are, in words; two queries."""
    wanted = list(hashes)
    pictures = Photograph.objects.filter(sha256__in=wanted).select_related("cast", "piece__cast", "excavation")
    papers = Document.objects.filter(sha256__in=wanted)
    found = [FileNamed(p.sha256, f"photograph {of_what(p)}", f"/photographs/{p.uid}/") for p in pictures.order_by("pk")]
    return found + [FileNamed(d.sha256, f"paper “{d.what}”", f"/documents/{d.uid}/") for d in papers.order_by("pk")]


def of_what(photograph: Photograph) -> str:
    """`of 2016.1.3, north` and the like."""
    of = photograph.piece or photograph.cast or photograph.excavation
    return ", ".join(p for p in (f"of {of}", photograph.view or photograph.caption[:60]) if p)


def damaged_now() -> list[FileNamed]:
    """Files on record whose last look found them damaged or gone; three queries when there is none."""
    last = FileCheck.objects.filter(sha256=OuterRef("sha256")).order_by("-pk").values("pk")[:1]
    bad = FileCheck.objects.filter(stands=False, pk=Subquery(last)).values_list("sha256", flat=True)
    hashes = {h for h in bad if is_on_record(h)}
    return named(hashes) if hashes else []


def facts_of_check(sha256: str) -> dict[str, Any]:
    """`stands` and `at` of the last look at a file; empty when nobody looked yet."""
    check = last_check(sha256)
    return {"stands": check.stands, "at": check.written_at, "said": check.said} if check else {}
