"""Marks as pages, the API, papers and other rooms read them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.db.models import QuerySet

from catalog.ground.collection import local
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.media.mark_drawing import Mark, overlay
from catalog.media.models import Annotation, Photograph
from catalog.media.web_annotation import document


def marks_for(reader: Actor) -> QuerySet[Annotation]:
    """Marks are for the staff."""
    rows = Annotation.objects.select_related(
        "photograph__cast", "photograph__piece__cast", "photograph__excavation", "by"
    )
    return visible_to(reader, rows)


def annotation_at(reader: Actor, pk: int) -> Annotation:
    found = marks_for(reader).filter(pk=pk).first()
    if found is None:
        raise NotFound("There is no such mark.")
    return found


def marks_on(reader: Actor, photograph: Photograph) -> list[Annotation]:
    """The marks that stand on a photograph, in the order they were drawn."""
    return list(marks_for(reader).filter(photograph=photograph, taken_off_on__isnull=True).order_by("pk"))


def drawing_of(photograph: Photograph, marks: Iterable[Mark], *, paper: bool = False) -> str:
    """The marks as an SVG over this photograph; empty where its size is not known."""
    if not photograph.width_px or not photograph.height_px:
        return ""
    return overlay(marks, photograph.width_px, photograph.height_px, paper=paper)


def as_document(marked: Annotation) -> dict[str, Any]:
    """The mark as W3C Web Annotation, with the addresses of this house."""
    picture = marked.photograph
    return document(
        address=f"{settings.BASE_ADDRESS}/api/v1/annotations/{marked.uid}/",
        picture=f"{settings.BASE_ADDRESS}/photographs/{picture.uid}/original",
        words=marked.words,
        shape=marked.drawn,
        width=picture.width_px or 0,
        height=picture.height_px or 0,
        creator=marked.by.name if marked.by else "",
        created=local(marked.created_at),
        modified=local(marked.changed_at),
    )
