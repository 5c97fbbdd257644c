"""What may not be done with a cast or a piece: which deed, why, until when, who may lift it."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.casts.models import Cast, Piece
from catalog.ground.records import Record
from catalog.people.models import Person

__all__ = ["Restriction"]


class Restriction(Record):
    """A deed that is barred, with ground, person and end."""

    DEEDS = [("lend", "lend"), ("move", "move"), ("treat", "treat"), ("touch", "touch"), ("publish", "publish")]
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="restrictions")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="restrictions")
    deed = models.CharField(max_length=10, choices=DEEDS)
    why = models.TextField()
    since = models.DateField()
    until = models.DateField(null=True, blank=True)
    said_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    who_may_lift = models.CharField(max_length=200, blank=True)
    lifted_on = models.DateField(null=True, blank=True)
    lifted_why = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(why=""), name="restriction_has_ground", violation_error_message="Say why it is barred."
            ),
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=models.F("since")),
                name="restriction_days",
                violation_error_message="A restriction does not end before it begins.",
            ),
        ]

    def __str__(self) -> str:
        return f"not to be {self.deed}"
