"""Casts, their numbers past and present, their determinations, their pieces."""

from __future__ import annotations

from typing import Any

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper

from catalog.excavations.models import MATERIALS, Excavation, Lift
from catalog.ground.records import Fact, Record
from catalog.ground.search import Found
from catalog.people.models import Account, Person
from catalog.taxa.models import Taxon

__all__ = ["MATERIALS", "Cast", "CastPerson", "Determination", "FormerNumber", "OldNumber", "Piece"]

MASS_STATES = [("wet", "wet"), ("air dry", "air dry"), ("constant", "constant")]


def _mm() -> models.DecimalField[Any, Any]:
    return models.DecimalField(max_digits=8, decimal_places=1, null=True, blank=True, validators=[MinValueValidator(0)])


def _mass_g(places: int = 3) -> models.DecimalField[Any, Any]:
    return models.DecimalField(
        max_digits=12, decimal_places=places, null=True, blank=True, validators=[MinValueValidator(0)]
    )


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
    mass_g = _mass_g()
    mass_u_g = _mass_g()
    mass_state = models.CharField(max_length=10, choices=MASS_STATES, blank=True)
    mass_said = models.CharField(max_length=60, blank=True)
    length_mm = _mm()
    width_mm = _mm()
    height_mm = _mm()
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


class Piece(Record):
    """One fragment of a cast with its own suffix. A broken piece is no longer present; its children are."""

    KINDS = [
        ("tunnel", "tunnel"),
        ("chamber", "chamber"),
        ("shaft", "shaft"),
        ("junction", "junction"),
        ("entrance", "entrance"),
        ("sprue", "sprue"),
        ("unknown", "not known"),
    ]
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="pieces")
    suffix = models.CharField(max_length=60)
    sort = models.CharField(max_length=120)
    parent = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="children")
    present = models.BooleanField(default=True)
    kind = models.CharField(max_length=12, choices=KINDS, blank=True)
    lift = models.ForeignKey(Lift, models.PROTECT, null=True, blank=True, related_name="pieces")
    from_cm = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)
    to_cm = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)
    mass_g = _mass_g()
    mass_u_g = _mass_g()
    mass_state = models.CharField(max_length=10, choices=MASS_STATES, blank=True)
    largest_mm = _mm()
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["cast", "suffix"],
                name="piece_suffix_once",
                violation_error_message="This cast has a piece of that number already.",
            ),
            # what a composite key stands on: a piece named beside its cast is a piece of that cast
            models.UniqueConstraint(fields=["id", "cast"], name="piece_of_its_cast"),
            models.CheckConstraint(
                condition=Q(mass_g__isnull=True) | Q(mass_g__gte=0),
                name="piece_mass",
                violation_error_message="A mass cannot be below zero.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        return f"{self.cast.number}.{self.suffix}"

    @property
    def href(self) -> str:
        return f"/casts/{self.cast.number}/{self.suffix}/"

    def search_entries(self) -> list[Found]:
        formers = tuple(self.former_numbers.values_list("text", flat=True))
        if not (self.note or formers):
            return []
        return [
            Found(
                "piece",
                self.pk,
                f"Piece {self.number}",
                self.href,
                number=self.number,
                hint=self.cast.description,
                words=" ".join(formers),
                notes=self.note,
                others=formers,
            )
        ]


class FormerNumber(Record):
    """An older number or tag, letter for letter, with the list or collection it comes from."""

    cast = models.ForeignKey(Cast, models.PROTECT, related_name="former_numbers")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="former_numbers")
    text = models.CharField(max_length=300)
    key = models.CharField(max_length=60, db_index=True)
    where_from = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["cast", "piece", "text", "where_from"],
                name="former_number_once",
                violation_error_message="This former number stands there already.",
            ),
        ]

    def __str__(self) -> str:
        return self.text


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


class Determination(Record):
    """Who said which animal it is, when, on which ground. The accepted one is current; earlier ones stay."""

    GROUNDS = [
        ("animal taken", "the animal was taken"),
        ("animal seen", "the animal was seen"),
        ("form of the nest", "the form of the nest"),
        ("earlier list", "an earlier list"),
    ]
    QUALIFIERS = [("cf.", "cf."), ("aff.", "aff."), ("sp.", "sp."), ("?", "uncertain")]
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="determinations")
    taxon = models.ForeignKey(Taxon, models.PROTECT, null=True, blank=True, related_name="determinations")
    words = models.CharField(max_length=200, blank=True)
    qualifier = models.CharField(max_length=40, blank=True, choices=QUALIFIERS)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="determinations")
    on = models.CharField(max_length=40, blank=True)
    ground = models.CharField(max_length=20, choices=GROUNDS)
    remark = models.TextField(blank=True)
    proposed_by = models.ForeignKey(Account, models.PROTECT, related_name="+")
    accepted = models.BooleanField(default=False)
    accepted_by = models.ForeignKey(Account, models.PROTECT, null=True, blank=True, related_name="+")
    accepted_on = models.DateField(null=True, blank=True)
    witness = models.CharField(max_length=200, blank=True)
    single_handed = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["cast"],
                condition=Q(accepted=True),
                name="determination_one_accepted",
                violation_error_message="One determination is the accepted one.",
            ),
            models.CheckConstraint(
                condition=Q(taxon__isnull=False) | ~Q(words=""),
                name="determination_says_something",
                violation_error_message="Name an animal, or write what it may be.",
            ),
            models.CheckConstraint(
                condition=Q(accepted=False) | ~Q(accepted_by=F("proposed_by")) | Q(single_handed=True),
                name="determination_two_people",
                violation_error_message="Nobody accepts the determination they proposed.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.taxon or self.words} {self.qualifier}".strip()
