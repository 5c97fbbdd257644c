"""One mount, its supports, what is on it."""

from __future__ import annotations

from typing import Any

from django.db.models import Count, Prefetch, Q, QuerySet

from catalog.ground.refusal import NotFound, Reason, Refusal
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.mounts.models import Mount, Mounted, Support


def mounts(reader: Actor) -> QuerySet[Any]:
    """Mounts with their place, the space below, standing supports, and how many things are on each."""
    rows = Mount.objects.select_related("place__parent", "closes__parent")
    on_it = Prefetch("mounted", mounted_rows().filter(off_on__isnull=True), to_attr="on_it")
    standing = Prefetch("supports", Support.objects.filter(gone_on__isnull=True).order_by("pk"), to_attr="standing")
    counted = rows.annotate(n_on_it=Count("mounted", filter=Q(mounted__off_on__isnull=True), distinct=True))
    return visible_to(reader, counted.prefetch_related(standing, on_it))


def mounted_rows() -> QuerySet[Mounted]:
    return Mounted.objects.select_related("cast__taxon", "piece__cast", "by", "off_by").order_by("pk")


def mount_at(reader: Actor, number: str) -> Any:
    """The mount of this number, whatever the case. NotFound otherwise."""
    found = mounts(reader).filter(number__iexact=number.strip()).first()
    if found is None:
        raise NotFound(f"“{number[:40]}” is not a mount of ours.")
    return found


def mount_said(reader: Actor, number: str, field: str = "mount") -> Any:
    """As `mount_at`, for what a form or the API was sent: a Refusal that names the field."""
    try:
        return mount_at(reader, number)
    except NotFound as none:
        raise Refusal(Reason(str(none), field, said=number[:40])) from None


def supports(reader: Actor) -> QuerySet[Support]:
    return visible_to(reader, Support.objects.select_related("mount"))


def supports_of(mount: Mount) -> list[Support]:
    """Supports that stand, in the order in which they were written."""
    return list(mount.supports.filter(gone_on__isnull=True).order_by("pk"))


def support_at(reader: Actor, mount: Mount, number: str) -> Support:
    found = supports(reader).filter(mount=mount, number__iexact=number, gone_on__isnull=True).first()
    if found is None:
        raise NotFound(f"{mount.number} has no support “{number[:20]}”.")
    return found


def mounted_on(mount: Mount) -> list[Mounted]:
    """All that is or was on it, newest first."""
    return list(mounted_rows().filter(mount=mount).order_by("-on", "-pk"))


def mounted_at(reader: Actor, mount: Mount, pk: int) -> Mounted:
    found = visible_to(reader, mounted_rows().filter(mount=mount, off_on__isnull=True)).filter(pk=pk).first()
    if found is None:
        raise NotFound(f"This is not on {mount.number}, or no longer.")
    return found
