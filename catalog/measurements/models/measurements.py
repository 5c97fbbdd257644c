"""One value, measured once; and what a balance sent that waits for a row."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.casts.models import MASS_STATES, Cast, CrumbLot, Piece
from catalog.ground.records import Fact
from catalog.measurements.models.instruments import Instrument
from catalog.people.models import Person

# quantity and the unit its values are kept in (UCUM)
QUANTITIES = [
    ("mass", "g"),
    ("length", "mm"),
    ("width", "mm"),
    ("height", "mm"),
    ("diameter", "mm"),
    ("perimeter", "mm"),
    ("depth", "cm"),
    ("area", "mm2"),
    ("volume", "cm3"),
    ("angle", "deg"),
    ("count", "1"),
]


class Measurement(Fact):
    """A value of a cast, a piece or a lot of crumbs. Never changed: a later one may point at it with `replaces`.

    `value` is net: `tare`, in the same unit, is taken off already. `u` is one standard uncertainty, `flags` what is
    incomplete about it. `key` is the instrument's own name of the reading: it is kept once.
    """

    quantity = models.CharField(max_length=10, choices=QUANTITIES)
    value = models.DecimalField(max_digits=14, decimal_places=4)
    unit = models.CharField(max_length=6)
    u = models.DecimalField(max_digits=14, decimal_places=6, null=True, blank=True)
    flags = models.CharField(max_length=300, blank=True)
    state = models.CharField(max_length=10, choices=MASS_STATES, blank=True)
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="measurements")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="measurements")
    crumbs = models.ForeignKey(CrumbLot, models.PROTECT, null=True, blank=True, related_name="measurements")
    instrument = models.ForeignKey(Instrument, models.PROTECT, null=True, blank=True, related_name="measurements")
    key = models.CharField(max_length=64, blank=True)
    at = models.DateTimeField(db_index=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="measurements")
    tare = models.DecimalField(max_digits=14, decimal_places=4, null=True, blank=True)
    tare_of = models.CharField(max_length=120, blank=True)
    note = models.CharField(max_length=300, blank=True)
    replaces = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")

    class Meta:
        indexes = [models.Index(fields=["cast", "piece", "quantity", "at"], name="measurement_of_thing")]
        constraints = [
            models.UniqueConstraint(
                fields=["instrument", "key"],
                condition=~Q(key=""),
                name="measurement_reading_once",
                violation_error_message="This reading of the instrument is kept already.",
            ),
            models.CheckConstraint(
                condition=~Q(quantity="mass") | Q(value__gt=0),
                name="measurement_mass",
                violation_error_message="A mass is above zero.",
            ),
            models.CheckConstraint(
                condition=Q(u__isnull=True) | Q(u__gte=0),
                name="measurement_u",
                violation_error_message="What a value may be off by is not below zero.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.thing}"

    @property
    def thing(self) -> Cast | Piece | CrumbLot:
        return self.crumbs or self.piece or self.cast


class BalanceReading(Fact):
    """What a balance sent without saying for what: it waits for the row of an open tray. Taken by whose measurement bears its key."""

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="readings")
    key = models.CharField(max_length=64)
    mass_g = models.DecimalField(max_digits=12, decimal_places=4)
    at = models.DateTimeField(db_index=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["instrument", "key"],
                name="balance_reading_once",
                violation_error_message="This reading of the balance is here already.",
            )
        ]
