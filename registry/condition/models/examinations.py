"""One look at condition, and what was found."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.casts.models import Cast, Piece
from catalog.ground.records import Record
from catalog.media.models import Annotation, Photograph
from catalog.people.models import Account, Person
from registry.condition.states.damage import ORIGINS
from registry.condition.states.examinations import GRADES, REASONS, VERDICTS
from registry.places.models import Place

__all__ = ["Examination", "Finding"]


class Examination(Record):
    """One look, by one person, on one day, for one reason. A draft until it is signed; signed it is evidence and never changes.

    A correction is a new one that `replaces` it.
    """

    cast = models.ForeignKey(Cast, models.PROTECT, related_name="examinations")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="examinations")
    reason = models.CharField(max_length=30, choices=REASONS)
    by = models.ForeignKey(Person, models.PROTECT, related_name="examinations")
    on = models.DateField()
    place = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="+")
    plain = models.BooleanField(default=False)
    method = models.CharField(max_length=300, blank=True)
    not_seen = models.TextField(blank=True)
    grade = models.CharField(max_length=10, choices=GRADES, blank=True)
    risk = models.TextField(blank=True)
    recommendation = models.TextField(blank=True)
    next_due = models.DateField(null=True, blank=True)
    note = models.TextField(blank=True)
    picture = models.ForeignKey(Photograph, models.PROTECT, null=True, blank=True, related_name="+")
    previous = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="+")
    replaces = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")
    signed_at = models.DateTimeField(null=True, blank=True)
    signed_by = models.ForeignKey(Account, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(signed_at__isnull=True) | ~Q(grade=""),
                name="examination_signed_has_grade",
                violation_error_message="Say how it is all in all before you sign.",
            ),
            models.CheckConstraint(
                condition=Q(signed_at__isnull=True, signed_by__isnull=True)
                | Q(signed_at__isnull=False, signed_by__isnull=False),
                name="examination_signed_by_somebody",
                violation_error_message="An examination is signed by somebody, at an hour.",
            ),
            models.CheckConstraint(
                condition=Q(next_due__isnull=True) | Q(next_due__gt=models.F("on")),
                name="examination_next_after_it",
                violation_error_message="The next examination is due after this one.",
            ),
        ]

    def __str__(self) -> str:
        return f"examination of {self.number}"

    @property
    def number(self) -> str:
        """The number of what was looked at."""
        return self.piece.number if self.piece else self.cast.number

    @property
    def href(self) -> str:
        return f"/examinations/{self.pk}/"

    @property
    def signed(self) -> bool:
        return self.signed_at is not None


class Finding(Record):
    """One damage or change seen in an examination. `n` is its number on the picture, the same in every later examination."""

    examination = models.ForeignKey(Examination, models.CASCADE, related_name="findings")
    n = models.PositiveSmallIntegerField()
    verdict = models.CharField(max_length=10, choices=VERDICTS)
    carried_from = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="+")
    first = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="+")
    kind = models.CharField(max_length=40)
    where = models.CharField(max_length=200, blank=True)
    size_mm = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)
    grade = models.CharField(max_length=10, choices=GRADES, blank=True)
    origin = models.CharField(max_length=30, choices=ORIGINS, blank=True)
    active = models.BooleanField(null=True, blank=True)
    note = models.CharField(max_length=500, blank=True)
    mark = models.ForeignKey(Annotation, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["examination", "n"],
                name="finding_number_once",
                violation_error_message="This examination has a finding of that number already.",
            ),
            models.CheckConstraint(
                condition=Q(size_mm__isnull=True) | Q(size_mm__gt=0),
                name="finding_size",
                violation_error_message="A size is above zero.",
            ),
            models.CheckConstraint(
                condition=Q(verdict="new", carried_from__isnull=True)
                | (~Q(verdict="new") & Q(carried_from__isnull=False)),
                name="finding_new_or_carried",
                violation_error_message="A finding is new, or it was seen before.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.n} {self.kind}"

    @property
    def line(self) -> int:
        """By this the same finding is known in every examination: the key of its first row."""
        return self.first_id or self.pk
