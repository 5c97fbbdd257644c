"""Looks at casts for tests: a photograph, a finding, an examination signed by Ottilie."""

from __future__ import annotations

import io
from datetime import date, timedelta
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from catalog.casts.subject import Subject
from catalog.ground.collection import today
from catalog.media.actions import keep_photograph
from catalog.media.models import Photograph
from registry.condition.actions import examine
from registry.condition.models import Examination
from registry.condition.said import CarriedSaid, ExaminationSaid, MarkSaid, NewSaid
from tests import builders


def ago(days: int) -> date:
    return today() - timedelta(days=days)


def picture(of: Any, view: str = "north") -> Photograph:
    """A grey photograph of 400 by 300 pixels."""
    out = io.BytesIO()
    Image.new("RGB", (400, 300), (139, 143, 140)).save(out, "JPEG")
    return keep_photograph(
        builders.saar(), SimpleUploadedFile("a.jpg", out.getvalue(), "image/jpeg"), cast=of, view=view
    )


def chip(on: Photograph | None = None, **more: Any) -> NewSaid:
    mark = MarkSaid(on, "point", "120,80") if on else None
    return NewSaid(**({"kind": "chip", "where": "second turn", "size_mm": 4, "grade": "fair", "mark": mark} | more))


def said(**more: Any) -> ExaminationSaid:
    return ExaminationSaid(**({"reason": "routine", "grade": "fair"} | more))


def examined(of: Any, **more: Any) -> Examination:
    """Looked at by Ottilie and signed by her."""
    return examine(builders.ottilie(), Subject(of), said(**more))


def answered(last: Examination, verdict: str = "as it was", **more: Any) -> tuple[CarriedSaid, ...]:
    return tuple(CarriedSaid(f.pk, verdict, **more) for f in last.findings.order_by("n") if f.verdict != "gone")
