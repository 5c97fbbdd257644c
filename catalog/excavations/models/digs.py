"""One nest dug: place, day, people, leave."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.excavations.models.columns import depth, mass
from catalog.excavations.models.sites import Permit, Site
from catalog.ground.records import Record
from catalog.ground.search import Found
from catalog.people.models import Person
from catalog.taxa.models import Taxon


class Excavation(Record):
    """One nest dug. Thin at first, richer later: everything but the number may be unknown."""

    number = models.CharField(max_length=40, unique=True)
    field_number = models.CharField(max_length=80, blank=True)
    site = models.ForeignKey(Site, models.PROTECT, null=True, blank=True, related_name="excavations")
    dug_on = models.CharField(max_length=40, blank=True)
    dug_earliest = models.DateField(null=True, blank=True)
    dug_latest = models.DateField(null=True, blank=True)
    permit = models.ForeignKey(Permit, models.PROTECT, null=True, blank=True, related_name="excavations")
    consent = models.ForeignKey(Permit, models.PROTECT, null=True, blank=True, related_name="consented")
    permit_exception = models.TextField(blank=True)
    taxon = models.ForeignKey(Taxon, models.PROTECT, null=True, blank=True, related_name="excavations")
    animal_words = models.CharField(max_length=200, blank=True)
    entrance = models.TextField(blank=True)
    soil = models.TextField(blank=True)
    weather = models.CharField(max_length=300, blank=True)
    depth_cm = depth()
    depths_from = models.CharField(max_length=200, blank=True)
    BEARINGS = [("magnetic", "magnetic"), ("true", "true"), ("unknown", "not known")]
    bearing_deg = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    bearing_is = models.CharField(max_length=10, choices=BEARINGS, blank=True)
    EXTENTS = [("complete", "the whole nest"), ("partial", "a part of it"), ("unknown", "not known")]
    extent = models.CharField(max_length=10, choices=EXTENTS, blank=True)
    left_in_ground = models.TextField(blank=True)
    left_mass_g = mass()
    note = models.TextField(blank=True)
    # what others than the registrar and the keeper read of the place; computed at the write
    shown_lat = models.DecimalField(max_digits=9, decimal_places=5, null=True, blank=True)
    shown_lon = models.DecimalField(max_digits=9, decimal_places=5, null=True, blank=True)
    shown_within_m = models.PositiveIntegerField(null=True, blank=True)
    shown_how = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(depth_cm__isnull=True) | Q(depth_cm__gte=0),
                name="excavation_depth",
                violation_error_message="A depth is not below zero.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def href(self) -> str:
        return f"/excavations/{self.number}/"

    @property
    def place_words(self) -> str:
        return self.site.name if self.site else ""

    def search_entries(self) -> list[Found]:
        title = " · ".join(p for p in (self.number, self.place_words, self.field_number) if p)
        return [
            Found(
                "excavation",
                self.pk,
                title,
                self.href,
                number=self.number,
                hint=self.animal_words,
                words=f"{self.field_number} {self.animal_words} {self.taxon or ''}",
                notes=f"{self.soil} {self.entrance} {self.note}",
            )
        ]


class ExactPlace(Record):
    """The exact place of an excavation: a table of its own, read only by who may."""

    excavation = models.OneToOneField(Excavation, models.CASCADE, related_name="exact")
    said = models.CharField(max_length=200)
    form = models.CharField(max_length=30)
    datum = models.CharField(max_length=30, default="WGS84")
    lat = models.DecimalField(max_digits=10, decimal_places=7)
    lon = models.DecimalField(max_digits=10, decimal_places=7)
    within_m = models.PositiveIntegerField()
    # what the field book or the receiver itself says; `within_m` is computed from it and from the figures written
    stated_m = models.DecimalField(max_digits=11, decimal_places=1, null=True, blank=True)
    how_fixed = models.CharField(max_length=120, blank=True)
    elevation_m = models.DecimalField(max_digits=7, decimal_places=1, null=True, blank=True)
    words = models.TextField(blank=True)


class ExcavationPerson(Record):
    """Who was there, doing what."""

    excavation = models.ForeignKey(Excavation, models.CASCADE, related_name="people")
    person = models.ForeignKey(Person, models.PROTECT, related_name="digs")
    did = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["excavation", "person"],
                name="excavation_person_once",
                violation_error_message="This person is named there already.",
            )
        ]
