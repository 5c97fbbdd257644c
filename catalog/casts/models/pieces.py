"""Pieces of casts, older numbers of either, and lots of crumbs."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.casts.models.casts import Cast
from catalog.casts.models.columns import MASS_STATES, mass_column, mm_column
from catalog.excavations.models import Lift
from catalog.ground.records import Record
from catalog.ground.search import Found


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
    mass_g = mass_column()
    mass_u_g = mass_column()
    mass_state = models.CharField(max_length=10, choices=MASS_STATES, blank=True)
    largest_mm = mm_column()
    # which end was up in the ground, if marked; the side it lay to; from which shaft of several
    up_mark = models.BooleanField(null=True, blank=True)
    compass = models.CharField(max_length=20, blank=True)
    shaft = models.CharField(max_length=40, blank=True)
    lift_unknown = models.BooleanField(default=False)
    missing_since = models.DateField(null=True, blank=True)
    # not a piece after all: why (stone, soil, a breakage taken back); its number stays for ever
    struck_off = models.CharField(max_length=80, blank=True)
    # found to be of another cast: the piece it goes by now
    became = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="was")
    # its label bears this piece's number too: one number was on two pieces
    parted_from = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="parted")
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
            models.CheckConstraint(
                condition=Q(present=False) | (Q(struck_off="") & Q(became__isnull=True)),
                name="piece_gone_not_present",
                violation_error_message="What is struck off or goes by another number is not present.",
            ),
            models.CheckConstraint(
                condition=~Q(parent=models.F("id")) & ~Q(became=models.F("id")),
                name="piece_not_its_own",
                violation_error_message="A piece does not come of itself.",
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


class CrumbLot(Record):
    """Small fragments kept together, counted and weighed, not numbered one by one. `n` None: not counted."""

    cast = models.ForeignKey(Cast, models.PROTECT, related_name="crumb_lots")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="crumb_lots")
    lift = models.ForeignKey(Lift, models.PROTECT, null=True, blank=True, related_name="crumb_lots")
    n = models.PositiveIntegerField(null=True, blank=True)
    mass_g = mass_column()
    mass_u_g = mass_column()
    mass_state = models.CharField(max_length=10, choices=MASS_STATES, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(mass_g__isnull=True) | Q(mass_g__gte=0),
                name="crumbs_mass",
                violation_error_message="A mass cannot be below zero.",
            ),
        ]

    def __str__(self) -> str:
        return f"crumbs of {self.piece or self.cast}"
