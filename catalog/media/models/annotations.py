"""A mark on a photograph: where, and in words what."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.ground.records import Record
from catalog.media.models.photographs import Photograph
from catalog.media.shapes import KINDS, Shape
from catalog.people.models import Person

__all__ = ["Annotation"]


class Annotation(Record):
    """A point, line or area of a photograph. `points` in pixels of the upright original: `410,220 480,260`.

    It is never moved: a wrong one is taken off, with the reason, and another is drawn.
    """

    photograph = models.ForeignKey(Photograph, models.PROTECT, related_name="annotations")
    shape = models.CharField(max_length=5, choices=KINDS)
    points = models.TextField()
    radius_px = models.PositiveIntegerField(null=True, blank=True)
    words = models.CharField(max_length=500, blank=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    taken_off_on = models.DateField(null=True, blank=True)
    taken_off_why = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(shape__in=[kind for kind, _ in KINDS]),
                name="annotation_shape",
                violation_error_message="A mark is a point, a line or an area.",
            ),
            models.CheckConstraint(
                condition=~Q(points=""),
                name="annotation_somewhere",
                violation_error_message="Say where on the picture the mark is.",
            ),
        ]

    def __str__(self) -> str:
        return self.words or self.get_shape_display()

    @property
    def drawn(self) -> Shape:
        pairs = (p.split(",") for p in self.points.split())
        return Shape(self.shape, tuple((int(x), int(y)) for x, y in pairs), self.radius_px)
