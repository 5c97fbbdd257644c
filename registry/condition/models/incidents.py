"""Something happened to a thing: it broke, was damaged, is missing, was found again. Where it was and in whose hands."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from catalog.casts.models import Cast, Piece
from catalog.ground.records import Fact, Record
from catalog.ground.search import Found
from catalog.media.models import Photograph
from catalog.people.models import Person
from registry.condition.states.incidents import HOWS, KINDS
from registry.places.models import Place

__all__ = ["Incident", "IncidentPhotograph", "IncidentSubject"]


class Incident(Record):
    """What was noticed, when, by whom, how it happened as far as known; later what was decided, or that it was taken back."""

    number = models.CharField(max_length=20, unique=True)
    year = models.PositiveSmallIntegerField()
    n = models.PositiveIntegerField()
    kind = models.CharField(max_length=10, choices=KINDS)
    noticed_on = models.DateField(db_index=True)
    noticed_at = models.DateTimeField(null=True, blank=True)
    noticed_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    happened_on = models.CharField(max_length=40, blank=True)
    how = models.CharField(max_length=14, choices=HOWS, blank=True)
    note = models.TextField(blank=True)
    measures = models.TextField(blank=True)
    told = models.TextField(blank=True)
    searched = models.TextField(blank=True)
    finds = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="found_by")
    claim = models.BooleanField(null=True, blank=True)
    treatment_wanted = models.BooleanField(null=True, blank=True)
    lesson = models.TextField(blank=True)
    closed_on = models.DateField(null=True, blank=True)
    closed_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+")
    single_handed = models.BooleanField(default=False)
    witness = models.CharField(max_length=200, blank=True)
    taken_back_on = models.DateField(null=True, blank=True)
    taken_back_why = models.CharField(max_length=300, blank=True)
    taken_back_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["year", "n"],
                name="incident_number_once",
                violation_error_message="This number of an incident was given already.",
            ),
            models.CheckConstraint(
                condition=Q(finds__isnull=True) | Q(kind="found"),
                name="incident_found_again",
                violation_error_message="Only what is found again ends a search.",
            ),
            models.CheckConstraint(
                condition=Q(closed_by__isnull=True) | ~Q(closed_by=models.F("created_by")) | Q(single_handed=True),
                name="incident_two_people",
                violation_error_message="Nobody closes the incident they recorded.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def href(self) -> str:
        return f"/incidents/{self.number}/"

    @property
    def standing(self) -> str:
        """`taken back`, `closed` or `open`."""
        return "taken back" if self.taken_back_on else "closed" if self.closed_on else "open"

    def search_entries(self) -> list[Found]:
        numbers = " ".join(s.number for s in self.subjects.select_related("cast", "piece__cast"))
        kind = self.get_kind_display()
        notes = f"{self.note} {self.searched} {self.lesson}"
        return [Found("incident", self.pk, f"{kind.capitalize()} of {numbers}", self.href, number=self.number, hint=kind, words=numbers, notes=notes)]  # fmt: skip


class IncidentSubject(Fact):
    """One thing it happened to: a cast or a piece, where it was at that instant, and in whose hands."""

    incident = models.ForeignKey(Incident, models.PROTECT, related_name="subjects")
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="incidents")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="incidents")
    place = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="+")
    holder = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    holder_words = models.CharField(max_length=200, blank=True)
    ours = models.BooleanField(default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["incident", "cast"],
                condition=Q(piece__isnull=True),
                name="incident_cast_once",
                violation_error_message="This incident names that cast already.",
            ),
            models.UniqueConstraint(
                fields=["incident", "piece"],
                condition=Q(piece__isnull=False),
                name="incident_piece_once",
                violation_error_message="This incident names that piece already.",
            ),
        ]

    @property
    def thing(self) -> Cast | Piece:
        return self.piece or self.cast

    @property
    def number(self) -> str:
        return self.thing.number

    @property
    def hands(self) -> str:
        """In whose hands it was, in words."""
        return "our hands" if self.ours else f"the hands of {self.holder or self.holder_words or 'somebody else'}"


class IncidentPhotograph(Fact):
    """A picture that was taken of what happened."""

    incident = models.ForeignKey(Incident, models.PROTECT, related_name="pictures")
    photograph = models.ForeignKey(Photograph, models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["incident", "photograph"],
                name="incident_photograph_once",
                violation_error_message="This picture stands there already.",
            )
        ]
