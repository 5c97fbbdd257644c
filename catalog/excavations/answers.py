"""What this room answers when the house asks: its numbers, what waits, what happened; and whose words follow a corrected name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta
from typing import Any

from django.db.models import Exists, F, OuterRef, Q, QuerySet
from django.utils import timezone

from catalog.excavations import reads, rules
from catalog.excavations.models import (
    Bag,
    ExactPlace,
    Excavation,
    ExcavationPerson,
    Lift,
    MaterialLot,
    Permit,
    Pour,
    Site,
)
from catalog.ground import say, search
from catalog.ground.asks import Bearer, Duty, Event, bearer_of, history_of, todays_work
from catalog.ground.collection import local
from catalog.ground.past import Change, as_events, changes_of
from catalog.ground.roles import Actor, may
from catalog.taxa.asks import name_corrected
from catalog.taxa.models import Taxon

_MOST = 50

# numbers


@bearer_of.answer
def digs_bags_lots(reader: Actor, text: str) -> list[Bearer]:
    """Excavation numbers, bag codes, lot codes: letter for letter but for their case, or at the end of a label's address."""
    bare = text.strip().rstrip("/").rpartition("/")[2]
    if not bare or len(bare) > 60 or not may(reader, "record.read"):
        return []
    digs = reads.visible(reader, Excavation).select_related("site").filter(number__iexact=bare)
    bags = reads.visible(reader, Bag).select_related("lift__excavation").filter(code__iexact=bare)
    lots = reads.visible(reader, MaterialLot).filter(code__iexact=bare)
    return [
        *(Bearer("excavation", d.number, d.place_words or d.animal_words or "excavation", d.href, d.pk) for d in digs),
        *(Bearer("bag", b.code, str(b.lift) if b.lift else "a bag not used yet", b.href, b.pk) for b in bags),
        *(Bearer("lot", lot.code, lot.material, lot.href, lot.pk) for lot in lots),
    ]


# what waits


@todays_work.answer
def bags_wait(reader: Actor) -> list[Duty]:
    """Bags that were tied a fortnight ago and neither inventoried nor written off: one duty for each dig."""
    if not may(reader, "excavation.write"):
        return []
    limit = timezone.now() - timedelta(days=rules.DAYS_FOR_A_BAG)
    rows = Bag.objects.filter(lift__isnull=False, outcome="", tied_at__lt=limit).select_related("lift__excavation")
    by_dig: dict[Excavation, list[Bag]] = {}
    for bag in rows.order_by("tied_at", "pk")[:500]:
        by_dig.setdefault(bag.lift.excavation, []).append(bag)  # type: ignore[union-attr]
    return [_bags_of(dig, bags) for dig, bags in list(by_dig.items())[:_MOST]]


def _bags_of(dig: Excavation, bags: list[Bag]) -> Duty:
    since = local(bags[0].tied_at).date()  # type: ignore[arg-type]
    named = say.listed([b.code for b in bags[:3]]) if len(bags) <= 3 else say.plural(len(bags), "bag")
    verb = "is" if len(bags) == 1 else "are"
    sentence = f"{named} of {dig.number} {verb} neither inventoried nor written off since {say.day(since)}."
    return Duty(sentence, f"/bags/?state=open&excavation={dig.number}", since, number=dig.number, act="Open them")


@todays_work.answer
def digs_lack(reader: Actor) -> list[Duty]:
    """Digs without a day, people or a place."""
    if not may(reader, "excavation.write"):
        return []
    people = ExcavationPerson.objects.filter(excavation=OuterRef("pk"))
    nowhere = Q(shown_lat__isnull=True, shown_how="")
    rows = Excavation.objects.annotate(somebody=Exists(people)).filter(nowhere | Q(somebody=False) | Q(dug_on=""))
    return [_lacks(dig) for dig in rows.order_by("-pk")[:_MOST]]


def _lacks(dig: Any) -> Duty:
    lacks = rules.lacks_of_dig(day=dig.dug_on, people=dig.somebody, placed=reads.is_placed(dig))
    return Duty(
        f"{dig.number} has {say.listed(lacks)} yet.",
        dig.href,
        local(dig.created_at).date(),
        "soon",
        dig.number,
        act="Add what is known",
    )


@todays_work.answer
def digs_outside_their_permit(reader: Actor) -> list[Duty]:
    """Digs that lie outside their permit, and nobody has written why."""
    if not may(reader, "permit.write"):
        return []
    late = Q(dug_earliest__gt=F("permit__until_on")) | Q(dug_latest__lt=F("permit__from_on"))
    elsewhere = Q(permit__site__isnull=False, site__isnull=False) & ~Q(permit__site=F("site"))
    rows = reads.with_nth(Excavation.objects.filter(permit__isnull=False, permit_exception=""))
    outside = rows.filter(late | elsewhere | Q(nth__gt=F("permit__most_nests")))
    duties = []
    for dig in outside.select_related("permit__site", "consent__site", "site").order_by("-pk")[:_MOST]:
        firm = [note.sentence for note in reads.notes_on(dig) if note.firm]
        sentence = f"{dig.number}: {' '.join(firm)}"
        duties.append(Duty(sentence, f"{dig.href}change/", weight="late", number=dig.number, act="Write why"))
    return duties


# what happened

LABELS = {
    "dug_on": "day of the dig",
    "permit": "permit",
    "consent": "consent",
    "permit_exception": "why outside the permit",
    "taxon": "animal",
    "animal_words": "animal, as said",
    "depth_cm": "depth, cm",
    "depths_from": "depths measured from",
    "bearing_deg": "bearing, degrees",
    "bearing_is": "kind of bearing",
    "extent": "how much of the nest",
    "left_in_ground": "left in the ground",
    "left_mass_g": "mass left, g",
    "note": "notes",
    "shown_lat": "place as others read it",
    "shown_how": "how the place is kept back",
    "category": "how strictly kept back",
    "category_ground": "why kept back so",
    "from_on": "from",
    "until_on": "until",
    "most_nests": "most nests",
    "given_by": "given by",
    "where_it_lies": "where the paper lies",
    "balance_g": "balance, g",
    "tied_at": "tied",
    "tied_by": "tied by",
    "closed_on": "closed on",
    "ground": "why written off",
}
_WORDS = {Site: "Site", Permit: "Paper", MaterialLot: "Lot", Bag: "Bag"}


@history_of.answer
def what_happened_around(reader: Actor, record: Any) -> list[Event]:
    """To a site, a permit, a lot, a bag."""
    if type(record) not in _WORDS or not may(reader, "history.read"):
        return []
    return as_events(changes_of(record, LABELS), _WORDS[type(record)])


@history_of.answer
def what_happened_to_a_dig(reader: Actor, record: Any) -> list[Event]:
    if not isinstance(record, Excavation) or not may(reader, "history.read"):
        return []
    return [*as_events(changes_of_dig(record), "Excavation"), *_pours(record), *_lifts(record), *_place(reader, record)]


# what goes with another column: told once
_WITH_ANOTHER = ("dug_earliest", "dug_latest", "shown_lon", "shown_within_m")


def changes_of_dig(dig: Excavation) -> list[Change]:
    """The saves of a dig as people read them, newest first."""
    changes = changes_of(dig, LABELS, most=_MOST)
    return [replace(c, fields=tuple(f for f in c.fields if f[0] not in _WITH_ANOTHER)) for c in changes]


def _pours(dig: Excavation) -> Iterable[Event]:
    rows: QuerySet[Pour] = dig.pours.select_related("created_by__person", "lot").order_by("n")
    for pour in rows:
        of = f" from {pour.lot}" if pour.lot else ""
        mass = f"{say.mass(pour.mass_g)} of " if pour.mass_g is not None else ""
        yield Event(pour.created_at, f"Pour {pour.n} written: {mass}{pour.material}{of}.", "field", _who(pour))


def _lifts(dig: Excavation) -> Iterable[Event]:
    rows: QuerySet[Lift] = dig.lifts.select_related("created_by__person").order_by("n")
    for lift in rows:
        yield Event(lift.created_at, f"Lift {lift.n} written.", "field", _who(lift))


def _place(reader: Actor, dig: Excavation) -> list[Event]:
    """Saves of the exact place: for who may read it; nobody else learns that there were any."""
    place = reads.visible(reader, ExactPlace).filter(excavation=dig).first()
    if place is None:
        return []
    reads.log_exact(reader, [dig], "its history")
    return as_events(changes_of(place, {"said": "as written", "within_m": "within, m"}, most=_MOST), "Exact place")


def _who(record: Any) -> str:
    return str(record.created_by.person) if record.created_by else ""


# a corrected name


@name_corrected.answer
def digs_are_found_by_it(taxon: Taxon) -> list[str]:
    """Digs of this animal are found by its new name."""
    n = 0
    for dig in Excavation.objects.filter(taxon=taxon).select_related("site", "taxon"):
        search.write("excavation", dig.pk, dig.search_entries())
        n += 1
    return (
        [f"{say.capital(say.plural(n, 'excavation'))} of it {'is' if n == 1 else 'are'} found by the new name."]
        if n
        else []
    )
