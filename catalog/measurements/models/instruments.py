"""What is measured with, and its calibrations."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models import Q

from catalog.ground.records import Fact, Record
from catalog.people.models import Person


def _part(**more: Any) -> models.DecimalField[Any, Any]:
    return models.DecimalField(max_digits=12, decimal_places=6, null=True, blank=True, **more)


class Instrument(Record):
    """A balance, a calliper, a rule: called by a short name (`Bal-2`). What its maker states goes into the uncertainty."""

    KINDS = [("balance", "balance"), ("calliper", "calliper"), ("rule", "rule"), ("other", "another instrument")]
    CLASSES = [("I", "I"), ("II", "II"), ("III", "III"), ("IIII", "IIII")]
    code = models.CharField(max_length=20, unique=True)
    kind = models.CharField(max_length=10, choices=KINDS)
    what = models.CharField(max_length=200, blank=True)
    # in grams for a balance, in millimetres for what measures lengths
    resolution = _part()
    repeatability = _part()
    linearity = _part()
    most = _part()
    oiml_class = models.CharField(max_length=4, choices=CLASSES, blank=True)
    note = models.TextField(blank=True)
    out_of_use_since = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(resolution__isnull=True) | Q(resolution__gt=0),
                name="instrument_resolution",
                violation_error_message="The smallest step an instrument shows is above zero.",
            )
        ]

    def __str__(self) -> str:
        return self.code

    @property
    def href(self) -> str:
        return f"/instruments/{self.code}/"


class Calibration(Fact):
    """A certificate, or what puts an earlier one in doubt (`passed` False: failed, dropped, adjusted). `u` is expanded by `k`."""

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="calibrations")
    on = models.DateField()
    due_on = models.DateField(null=True, blank=True)
    passed = models.BooleanField(default=True)
    u = _part()
    k = models.DecimalField(max_digits=4, decimal_places=2, null=True, blank=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    paper = models.CharField(max_length=200, blank=True)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(k__isnull=True) | Q(k__gt=0),
                name="calibration_k",
                violation_error_message="The factor of a certificate is above zero, mostly 2.",
            )
        ]
