"""Inspections, what is due, and whether an engineer's word holds."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import Exists, OuterRef, Prefetch, QuerySet

from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.mounts.models import EngineersWord, Mount, MountInspection, SupportFound


def inspections(reader: Actor) -> QuerySet[Any]:
    """Inspections with what each support was found to be."""
    found = Prefetch("found", SupportFound.objects.select_related("support").order_by("support__pk"))
    rows = MountInspection.objects.select_related("mount", "by", "written_by__person").prefetch_related(found)
    return visible_to(reader, rows)


def inspection_at(reader: Actor, pk: int) -> Any:
    found = inspections(reader).filter(pk=pk).first()
    if found is None:
        raise NotFound("This is not an inspection of ours.")
    return found


def words_of(mount: Mount) -> list[EngineersWord]:
    """What engineers said of it, newest first."""
    return list(EngineersWord.objects.filter(mount=mount).select_related("written_by__person").order_by("-pk"))


def word_holds(mount: Mount) -> bool:
    """The newest word is one of safety and was written after the last change of what carries."""
    newest = EngineersWord.objects.filter(mount=mount).order_by("-pk").first()
    return newest is not None and newest.says != "not safe" and newest.written_at >= mount.altered_at


def due_by(reader: Actor, last: date) -> QuerySet[Mount]:
    """Mounts whose inspection is due on or before a day."""
    rows = Mount.objects.select_related("place").filter(inspect_by__lte=last)
    return visible_to(reader, rows).order_by("inspect_by", "sort")


def overhead_without_word(reader: Actor) -> QuerySet[Mount]:
    """What is overhead and carries something without a word that holds."""
    safe = EngineersWord.objects.filter(mount=OuterRef("pk"), written_at__gte=OuterRef("altered_at")).exclude(
        says="not safe"
    )
    rows = Mount.objects.filter(overhead=True, mounted__off_on__isnull=True, mounted__isnull=False)
    return visible_to(reader, rows.filter(~Exists(safe))).distinct().order_by("sort")
