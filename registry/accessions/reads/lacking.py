"""What is known of a cast for its number, for one cast or for many, in one query."""

from __future__ import annotations

from typing import Any

from django.db.models import Exists, F, OuterRef, QuerySet, Subquery, Value
from django.db.models.functions import Coalesce, NullIf

from catalog.casts.models import Cast
from catalog.ground import say
from catalog.ground.collection import collection
from catalog.ground.kept import kept_on
from catalog.ground.models import Collection
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.media.models import Photograph
from registry.accessions.models import Accession, Acquisition, Title
from registry.accessions.rules import Known, Lack, lacks
from registry.places.models import Placement

_BESIDE = (
    "taxon",
    "excavation__permit",
    "excavation__consent",
    "excavation__site",
    "entry_object__entry__from_person",
    "entry_object__entry__owner",
    "entry_object__entry__taken_in_by",
    "acquisition__from_person",
    "acquisition__proposed_by__person",
    "acquisition__decided_by__person",
    "accession",
)


def for_numbering(rows: QuerySet[Cast]) -> QuerySet[Cast]:
    """The same casts with all that the rules look at: one query, however many."""
    newest = Title.objects.filter(cast=OuterRef("pk")).order_by("-pk")
    paper = Coalesce(NullIf(F("paper_words"), Value("")), F("document__what"), Value(""))
    placed = Placement.objects.filter(cast=OuterRef("pk"), place__isnull=False).order_by("piece_id")
    return rows.select_related(*_BESIDE).annotate(
        title_state=Coalesce(Subquery(newest.values("state")[:1]), Value("")),
        title_by=Coalesce(Subquery(newest.annotate(_paper=paper).values("_paper")[:1]), Value("")),
        photographed=Exists(Photograph.objects.filter(cast=OuterRef("pk"), withdrawn_on__isnull=True)),
        placed_at=Coalesce(Subquery(placed.values("place__code")[:1]), Value("")),
    )


def for_numbering_at_hand(cast: Cast) -> Any:
    """One cast with all that the rules look at, read once for a page."""
    return kept_on(cast, "numbering", lambda: for_numbering(Cast.objects.filter(pk=cast.pk)).get())


def known_of(cast: Any, ours: Collection | None = None) -> Known:
    """The facts of one cast that came out of `for_numbering`."""
    ours = ours or collection()
    thing = getattr(cast, "entry_object", None)
    entry, dig = (thing.entry if thing else None), cast.excavation
    return Known(
        number=cast.number,
        description=cast.description,
        n_parts=cast.n_parts,
        how=entry.how if entry else ("own excavation" if dig else ""),
        title=cast.title_state,
        title_paper=cast.title_by,
        standing=ours.own_digs_kept,
        standing_minute=ours.own_digs_minute,
        entry=entry.number if entry else "",
        source=source_of(cast),
        excavation=dig.number if dig else "",
        permit=dig.permit.number if dig and dig.permit else "",
        consent=dig.consent.number if dig and dig.consent else "",
        exception=dig.permit_exception if dig else "",
        animal=cast.animal,
        material=cast.material if cast.material != "unknown" else "",
        mass=say.mass(cast.mass_g) if cast.mass_g is not None else "",
        place=cast.placed_at,
        photographs=cast.photographed,
        **_of_case(case_of(cast)),
    )


def _of_case(case: Acquisition | None) -> dict[str, Any]:
    if case is None:
        return {}
    return {
        "way": case.way,
        "proposed_by": case.proposed_by.person.name,
        "decision": case.decision,
        "decider": decider_of(case),
        "decided_on": case.decided_on,
        "minute": case.minute,
        "single_handed": case.single_handed,
        "search_record": case.search_record,
    }


def case_of(cast: Cast) -> Acquisition | None:
    """The case for keeping it, if somebody made one."""
    return getattr(cast, "acquisition", None)


def decider_of(case: Acquisition) -> str:
    """Who decided, by name: as the minute says, else whose account it was."""
    return case.decider or (case.decided_by.person.name if case.decided_by else "")


def source_of(cast: Cast) -> str:
    """From whom it came, in words: as the case says it, else as the entry does."""
    case, thing = case_of(cast), getattr(cast, "entry_object", None)
    if case and (words := _whom(case.from_person, case.from_words)):
        return words
    if thing:
        entry = thing.entry
        return _whom(entry.from_person, entry.from_words) or _whom(entry.owner, entry.owner_words)
    return ""


def _whom(person: Any, words: str) -> str:
    if person:
        return f"{person.name}, {person.town}" if person.town else str(person.name)
    return words.strip()


def lacks_of(reader: Actor, cast: Cast) -> list[Lack]:
    """What is there and what is missing for its number, as sentences with who mends it and where."""
    row = for_numbering(visible_to(reader, Cast.objects.all())).filter(pk=cast.pk).first()
    return lacks(known_of(row)) if row else []


def title_now(cast: Cast) -> Title | None:
    """The state of title that holds."""
    return Title.objects.select_related("document", "said_by").filter(cast=cast).order_by("-pk").first()


def still_lacking(reader: Actor, *, most: int = 100) -> list[tuple[Cast, list[Lack]]]:
    """Casts that have their number and still lack what was stated then, newest first; at most so many. Three queries."""
    stated = dict(Accession.objects.exclude(lacks=[]).order_by("-pk").values_list("cast_id", "lacks")[:most])
    if not stated:
        return []
    ours, found = collection(), []
    for cast in for_numbering(visible_to(reader, Cast.objects.filter(pk__in=stated))).order_by("-accession__pk"):
        keys = {lack["key"] for lack in stated[cast.pk]}
        if open_ := [lack for lack in lacks(known_of(cast, ours)) if lack.key in keys and not lack.there]:
            found.append((cast, open_))
    return found
