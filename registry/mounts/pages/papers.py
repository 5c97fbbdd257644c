"""Papers of a mount: each is kept, and asked for again it is the same one."""

from __future__ import annotations

from django.http import HttpResponse

from catalog.ground.http import Asked, page
from catalog.ground.keeping import paper_for
from catalog.ground.pdf import as_kept
from registry.mounts import papers, reads


@page("record.read")
def mount_sheet(request: Asked, number: str) -> HttpResponse:
    """Drawing, loads, plan: what whoever works at it reads first."""
    return as_kept(paper_for(request.actor, papers.mount_sheet(reads.mount_at(request.actor, number))))


@page("record.read")
def inspection_sheet(request: Asked, number: str) -> HttpResponse:
    """Boxes to tick at the mount."""
    return as_kept(paper_for(request.actor, papers.inspection_sheet(reads.mount_at(request.actor, number))))


@page("record.read")
def warning_tag(request: Asked, number: str) -> HttpResponse:
    """The tag that hangs on it."""
    return as_kept(paper_for(request.actor, papers.warning_tag(reads.mount_at(request.actor, number))))
