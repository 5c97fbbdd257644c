"""What stands in the form of an examination before anything is typed: nothing that is an answer, unless it is a draft's own."""

from __future__ import annotations

from typing import Any

from catalog.ground import fields as f
from catalog.ground.roles import Actor
from registry.condition.models import Examination, Finding
from registry.condition.states.examinations import REASONS
from registry.places.reads import me


def begin_new(actor: Actor, reason: str) -> dict[str, Any]:
    """Who looks, and the reason that the address names."""
    mine = me(actor)
    return {
        "reason": reason if reason in dict(REASONS) else "",
        "by": f.Chosen(mine.name, str(mine.pk)) if mine else None,
    }


def begin_draft(draft: Examination) -> dict[str, Any]:
    """An unsigned examination as it was left."""
    same = ("reason", "not_seen", "grade", "risk", "recommendation", "next_due", "on", "note", "version")
    begun: dict[str, Any] = {n: getattr(draft, n) for n in same}
    begun["by"] = f.Chosen(draft.by.name, str(draft.by_id))
    begun["method"] = draft.method.split(", ") if draft.method else []
    new = 0
    for finding in draft.findings.all():
        new += finding.verdict == "new"
        at = f"n{new}_" if finding.verdict == "new" else f"c{finding.carried_from_id}_"
        begun |= {at + name: value for name, value in _finding(finding).items()}
    return begun


def _finding(finding: Finding) -> dict[str, Any]:
    names = ("verdict", "size_mm", "grade", "note", "kind", "where", "origin")
    said = {n: getattr(finding, n) for n in names}
    said["active"] = {True: "yes", False: "no", None: ""}[finding.active]
    was = finding.carried_from.mark_id if finding.carried_from else None
    if finding.mark and finding.mark_id != was:
        said |= {"shape": finding.mark.shape, "position": finding.mark.points, "radius_px": finding.mark.radius_px}
        said["picture"] = str(finding.mark.photograph.uid)
    return said
