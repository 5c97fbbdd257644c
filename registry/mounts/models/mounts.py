"""What carries a cast, the points where it carries it, and what is on it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.db import models
from django.db.models import Q
from django.db.models.functions import Upper

from catalog.casts.models import Cast, Piece
from catalog.ground.records import Record
from catalog.ground.search import Found
from catalog.people.models import Person
from registry.places.models import Place

__all__ = ["Mount", "Mounted", "Support"]


def _mm() -> models.DecimalField[Any, Any]:
    return models.DecimalField(max_digits=8, decimal_places=1, null=True, blank=True)


class Mount(Record):
    """A board, frame, rod or cradle. The mount of a large cast is a place too and bears the place's code as its number.

    `closes`: the place that is closed when a support fails; `closed_on`: since when it is. `stays`: it is not moved
    without its plan. `altered_at`: when what carries was last changed; a word of an engineer before that holds no longer.
    """

    KINDS = [("board", "board"), ("frame", "frame"), ("rod", "rod"), ("cradle", "cradle")]
    HOLDINGS = [("standing", "it stands"), ("hanging", "it hangs"), ("bracket", "it is held out from a wall")]
    number = models.CharField(max_length=20, unique=True)
    sort = models.CharField(max_length=60, db_index=True)
    kind = models.CharField(max_length=10, choices=KINDS)
    name = models.CharField(max_length=200)
    place = models.OneToOneField(Place, models.PROTECT, null=True, blank=True, related_name="mount")
    closes = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="mounts_over")
    holding = models.CharField(max_length=10, choices=HOLDINGS, default="standing")
    both_ways = models.BooleanField(default=False)
    overhead = models.BooleanField(default=False)
    stays = models.BooleanField(default=False)
    maker = models.CharField(max_length=200, blank=True)
    made_on = models.CharField(max_length=40, blank=True)
    touches = models.CharField(max_length=300, blank=True)
    mass_g = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    x_mm = _mm()
    y_mm = _mm()
    z_mm = _mm()
    dynamic = models.DecimalField(max_digits=4, decimal_places=2, default=Decimal(1))
    plan = models.TextField(blank=True)
    people_needed = models.PositiveSmallIntegerField(null=True, blank=True)
    gear = models.CharField(max_length=300, blank=True)
    inspect_months = models.PositiveSmallIntegerField(null=True, blank=True)
    inspect_by = models.DateField(null=True, blank=True, db_index=True)
    closed_on = models.DateField(null=True, blank=True, db_index=True)
    altered_at = models.DateTimeField()
    note = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(Upper("number"), name="mount_number_any_case")]
        constraints = [
            models.CheckConstraint(
                condition=Q(mass_g__isnull=True) | Q(mass_g__gte=0),
                name="mount_mass",
                violation_error_message="A mass cannot be below zero.",
            ),
            models.CheckConstraint(
                condition=Q(dynamic__gte=1),
                name="mount_dynamic",
                violation_error_message="What handling adds to a load is one or more.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def href(self) -> str:
        return f"/mounts/{self.number}/"

    def search_entries(self) -> list[Found]:
        """Found by its number, its name, its maker; the place that it is has an entry of its own."""
        return [
            Found(
                "mount",
                self.pk,
                self.name,
                self.href,
                number=self.number,
                hint=self.get_kind_display(),
                words=f"mount {self.kind} {self.maker} {self.touches}",
                notes=f"{self.plan} {self.note}",
                weight=4,
            )
        ]


class Support(Record):
    """One point where a mount carries. `state`: as the latest inspection found it; `gone_on`: it was taken away."""

    STATES = [("sound", "sound"), ("watch", "to be watched"), ("fail", "failed")]
    mount = models.ForeignKey(Mount, models.PROTECT, related_name="supports")
    number = models.CharField(max_length=10)
    x_mm = models.DecimalField(max_digits=8, decimal_places=1)
    y_mm = models.DecimalField(max_digits=8, decimal_places=1)
    z_mm = _mm()
    angle_deg = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    capacity_n = models.DecimalField(max_digits=9, decimal_places=1, null=True, blank=True)
    capacity_source = models.CharField(max_length=300, blank=True)
    safety = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    fixed_into = models.CharField(max_length=200, blank=True)
    assessed_by = models.CharField(max_length=200, blank=True)
    state = models.CharField(max_length=5, choices=STATES, blank=True)
    gone_on = models.DateField(null=True, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["mount", "number"],
                name="support_number_once",
                violation_error_message="This mount has a support of that number already.",
            ),
            models.CheckConstraint(
                condition=Q(capacity_n__isnull=True) | (Q(capacity_n__gt=0) & ~Q(capacity_source="")),
                name="support_capacity_has_source",
                violation_error_message="A capacity is above nothing and names where it is from.",
            ),
            models.CheckConstraint(
                condition=Q(safety__isnull=True) | Q(safety__gte=1),
                name="support_safety",
                violation_error_message="A safety factor is one or more.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.mount.number} {self.number}"


class Mounted(Record):
    """A cast or a piece is on a mount, its middle at x, y, z; `off_on`: the day it was taken off."""

    mount = models.ForeignKey(Mount, models.PROTECT, related_name="mounted")
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="mounted")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="mounted")
    x_mm = _mm()
    y_mm = _mm()
    z_mm = _mm()
    on = models.DateField()
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    off_on = models.DateField(null=True, blank=True)
    off_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    off_words = models.CharField(max_length=300, blank=True)

    class Meta:
        verbose_name_plural = "mounted"
        constraints = [
            models.UniqueConstraint(
                fields=["cast"],
                condition=Q(piece__isnull=True, off_on__isnull=True),
                name="mounted_cast_once",
                violation_error_message="A cast is on one mount.",
            ),
            models.UniqueConstraint(
                fields=["piece"],
                condition=Q(piece__isnull=False, off_on__isnull=True),
                name="mounted_piece_once",
                violation_error_message="A piece is on one mount.",
            ),
            models.CheckConstraint(
                condition=Q(off_on__isnull=True) | Q(off_on__gte=models.F("on")),
                name="mounted_days",
                violation_error_message="Nothing is taken off before it is put on.",
            ),
        ]

    @property
    def thing(self) -> Cast | Piece:
        return self.piece or self.cast
