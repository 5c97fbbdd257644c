"""Casts, the numbers they went by, and who had a hand in them."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper

from catalog.casts.models.columns import MASS_STATES, mass_column, mm_column
from catalog.excavations.models import Excavation
from catalog.ground.records import Fact, Record
from catalog.ground.search import Found
from catalog.people.models import Person
from catalog.taxa.models import Taxon


class Cast(Record):
    """The numbered object: a solid infill of an animal's nest or burrow, whole or in pieces; also a replica of one.

    `number` is the number it goes by now: the entry object's until it is accessioned, then the accession number.
    `sort` is the number so written that plain order is natural order.
    """

    KINDS = [("cast of nest", "cast of a nest"), ("cast of burrow", "cast of a burrow"), ("replica", "replica")]
    number = models.CharField(max_length=40, unique=True)
    sort = models.CharField(max_length=120, db_index=True)
    year = models.PositiveSmallIntegerField(null=True, blank=True, db_index=True)
    kind = models.CharField(max_length=20, choices=KINDS, blank=True)
    description = models.CharField(max_length=500)
    material = models.CharField(max_length=40, blank=True, db_index=True)
    material_words = models.CharField(max_length=200, blank=True)
    method = models.CharField(max_length=300, blank=True)
    # the accepted determination, copied so that lists can filter by it; animal_words is what was said before anyone determined it
    taxon = models.ForeignKey(Taxon, models.PROTECT, null=True, blank=True, related_name="casts")
    qualifier = models.CharField(max_length=40, blank=True)
    animal_words = models.CharField(max_length=200, blank=True)
    excavation = models.ForeignKey(Excavation, models.PROTECT, null=True, blank=True, related_name="casts")
    original = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="replicas")
    made_on = models.CharField(max_length=40, blank=True)
    made_earliest = models.DateField(null=True, blank=True)
    made_latest = models.DateField(null=True, blank=True)
    n_parts = models.PositiveIntegerField(null=True, blank=True)
    mass_g = mass_column()
    mass_u_g = mass_column()
    mass_state = models.CharField(max_length=10, choices=MASS_STATES, blank=True)
    mass_said = models.CharField(max_length=60, blank=True)
    length_mm = mm_column()
    width_mm = mm_column()
    height_mm = mm_column()
    fragile = models.BooleanField(default=False)
    handling = models.TextField(blank=True)
    hazards = models.TextField(blank=True)
    extent = models.CharField(max_length=10, choices=Excavation.EXTENTS, blank=True)
    note = models.TextField(blank=True)
    # how it went out of our care, if it did: given back, refused, kept for teaching, same as another
    closed_as = models.CharField(max_length=30, blank=True, db_index=True)
    published_on = models.DateField(null=True, blank=True, db_index=True)

    class Meta:
        indexes = [
            models.Index(fields=["taxon", "material"], name="cast_animal_material"),
            models.Index(Upper("number"), name="cast_number_any_case"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(mass_g__isnull=True) | Q(mass_g__gte=0),
                name="cast_mass",
                violation_error_message="A mass cannot be below zero.",
            ),
            models.CheckConstraint(
                condition=~Q(original=F("id")),
                name="cast_not_its_replica",
                violation_error_message="A replica is not its own original.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def href(self) -> str:
        return f"/casts/{self.number}/"

    @property
    def nest_form(self) -> str:
        """By which outline it is drawn where no photograph stands: what the animal's nests are like."""
        return self.taxon.group if self.taxon else ""

    @property
    def animal(self) -> str:
        """The animal as it is called now, or the words said before it was determined."""
        if not self.taxon:
            return self.animal_words
        return f"{self.taxon.name} {self.qualifier}".strip() if self.qualifier in ("sp.", "spp.") else self.taxon.name

    def search_entries(self) -> list[Found]:
        others = (
            *self.former_numbers.values_list("text", flat=True),
            *self.old_numbers.values_list("number", flat=True),
        )
        people = " ".join(self.people.values_list("person__name", flat=True))
        common = self.taxon.common_name if self.taxon else ""
        title = self.description
        staff = Found(
            "cast",
            self.pk,
            title,
            self.href,
            number=self.number,
            hint=" · ".join(p for p in (self.animal, self.material) if p),
            words=f"{self.animal} {common} {self.animal_words} {self.material} {' '.join(others)} {people} {self.excavation or ''}",
            notes=f"{self.note} {self.handling} {self.method}",
            weight=10,
            others=others,
        )
        if not self.published_on:
            return [staff]
        return [staff, self._public_entry(common)]

    def _public_entry(self, common: str) -> Found:
        """What visitors find it by: names, and what the rooms above tell them."""
        from catalog.casts.subject import public_facts  # stands above this file

        told = {name: value for _, name, value in public_facts([self])}
        return Found(
            "cast",
            self.pk,
            told.get("title") or common or self.animal or "Cast",
            self.href,
            number=self.number,
            hint=" · ".join(p for p in (common or self.animal, self.material) if p),
            words=f"{self.animal} {common} {self.material} {told.get('seen_at', '')}",
            notes=told.get("story", ""),
            public=True,
            weight=10,
        )


class OldNumber(Fact):
    """A number that a cast went by before; its address leads on for ever."""

    number = models.CharField(max_length=40, unique=True)
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="old_numbers")

    class Meta:
        indexes = [models.Index(Upper("number"), name="old_number_any_case")]


class CastPerson(Record):
    """Who had a hand in it, and how: poured, dug, joined, mounted."""

    cast = models.ForeignKey(Cast, models.CASCADE, related_name="people")
    person = models.ForeignKey(Person, models.PROTECT, related_name="casts")
    did = models.CharField(max_length=80, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["cast", "person", "did"],
                name="cast_person_once",
                violation_error_message="This person is named there already.",
            )
        ]
