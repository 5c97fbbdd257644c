"""Entries and their objects."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import Any

from django.db.models import Case, DateField, Exists, F, OuterRef, Prefetch, QuerySet, When, prefetch_related_objects

from catalog.casts.models import Cast
from catalog.ground.collection import collection, today
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.accessions.models import Entry, EntryObject
from registry.accessions.states import OPEN

_ABSENT = "This is not an entry of ours, or not one for your eyes."


def entries_for_list(reader: Actor) -> QuerySet[Entry]:
    """Entries with their objects; `waits_since` is the day it came while one of its objects has no outcome."""
    waiting = Exists(EntryObject.objects.filter(entry=OuterRef("pk"), state__in=OPEN))
    rows = Entry.objects.select_related("from_person", "owner", "taken_in_by", "excavation")
    since = Case(When(waiting, then=F("came_on")), output_field=DateField())
    return visible_to(reader, rows).annotate(waiting=waiting, waits_since=since)


OBJECTS = Prefetch("objects_of", EntryObject.objects.select_related("cast", "same_as").order_by("index"), "things")


def with_objects(entries: Iterable[Entry]) -> list[Any]:
    """The same entries, their objects at hand as `things`: one query."""
    rows = list(entries)
    prefetch_related_objects(rows, OBJECTS)
    return rows


def entry_at(reader: Actor, number: str) -> Any:
    """The entry of this number, or of one of its objects, the objects at hand as `things`. NotFound otherwise."""
    rows = entries_for_list(reader)
    of_object = rows.filter(objects_of__cast__number__iexact=number)
    entry = rows.filter(number__iexact=number).first() or of_object.first()
    if entry is None:
        raise NotFound(_ABSENT)
    return with_objects([entry])[0]


def object_of(cast: Cast) -> EntryObject | None:
    """The object of an entry that this cast came in as."""
    return EntryObject.objects.select_related("entry").filter(cast=cast).first()


def open_objects(reader: Actor, *, most: int = 200) -> QuerySet[EntryObject]:
    """Objects without an outcome that want somebody: proposed, accepted, or entered longer ago than the collection waits."""
    rows = visible_to(
        reader, EntryObject.objects.select_related("cast", "entry", "cast__acquisition__proposed_by__person")
    )
    since = today() - timedelta(days=collection().entry_days)
    late = rows.filter(state="entered", entry__came_on__lt=since)
    return (rows.filter(state__in=("proposed", "accepted")) | late).order_by("entry__came_on", "pk")[:most]


def refused_still_here(reader: Actor, *, most: int = 50) -> QuerySet[EntryObject]:
    """What was refused and has not gone back yet."""
    rows = visible_to(reader, EntryObject.objects.select_related("cast", "entry"))
    return rows.filter(state="refused", cast__closed_as="").order_by("pk")[:most]
