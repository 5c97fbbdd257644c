"""What broke in an incident: its mass before, its parts, crumbs and loss; joins that failed; fragments nobody can place yet."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.casts.models import MASS_STATES, Cast, CrumbLot, Join, Piece
from catalog.ground.records import Fact, Record
from registry.condition.models.incidents import Incident
from registry.condition.states.incidents import WAYS

__all__ = ["Breakage", "BreakagePart", "FailedJoin", "LooseLot"]


def _mass_g() -> models.DecimalField:  # type: ignore[type-arg]
    return models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)


class Breakage(Fact):
    """One body that broke or lost something, as it was said at the bench. What follows is told in `consequences`, a line each."""

    incident = models.ForeignKey(Incident, models.PROTECT, related_name="breakages")
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="breakages")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="breakages")
    way = models.CharField(max_length=10, choices=WAYS)
    mass_before_g = _mass_g()
    mass_before_u_g = _mass_g()
    mass_before_state = models.CharField(max_length=10, choices=MASS_STATES, blank=True)
    lost_g = _mass_g()
    crumbs = models.ForeignKey(CrumbLot, models.PROTECT, null=True, blank=True, related_name="+")
    crumbs_g = _mass_g()
    difference_g = _mass_g()
    difference_u_g = _mass_g()
    verdict = models.CharField(max_length=20)
    consequences = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["incident", "cast"],
                condition=Q(piece__isnull=True),
                name="breakage_cast_once",
                violation_error_message="In one incident a cast breaks once.",
            ),
            models.UniqueConstraint(
                fields=["incident", "piece"],
                condition=Q(piece__isnull=False),
                name="breakage_piece_once",
                violation_error_message="In one incident a piece breaks once.",
            ),
        ]

    @property
    def thing(self) -> Cast | Piece:
        return self.piece or self.cast

    @property
    def number(self) -> str:
        return self.thing.number


class BreakagePart(Fact):
    """One body that came of it, with its mass if it was weighed then."""

    breakage = models.ForeignKey(Breakage, models.PROTECT, related_name="parts")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="came_of")
    mass_g = _mass_g()
    mass_u_g = _mass_g()
    mass_state = models.CharField(max_length=10, choices=MASS_STATES, blank=True)


class FailedJoin(Fact):
    """A join that came apart in it, without a piece breaking."""

    incident = models.ForeignKey(Incident, models.PROTECT, related_name="failed_joins")
    join = models.ForeignKey(Join, models.PROTECT, related_name="+")
    state_before = models.CharField(max_length=8)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["incident", "join"],
                name="failed_join_once",
                violation_error_message="This join is named there already.",
            )
        ]


class LooseLot(Record):
    """Fragments whose parent is not known yet, counted and weighed, until refitting places them. `n`, `mass_g`: what is left."""

    incident = models.OneToOneField(Incident, models.PROTECT, related_name="loose")
    n = models.PositiveIntegerField()
    n_first = models.PositiveIntegerField()
    mass_g = _mass_g()
    mass_first_g = _mass_g()
    mass_state = models.CharField(max_length=10, choices=MASS_STATES, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(n__lte=models.F("n_first")),
                name="loose_lot_count",
                violation_error_message="A lot never holds more fragments than were counted.",
            ),
            models.CheckConstraint(
                condition=Q(mass_g__isnull=True) | Q(mass_g__gte=0),
                name="loose_lot_mass",
                violation_error_message="A mass cannot be below zero.",
            ),
        ]

    def __str__(self) -> str:
        return f"loose lot of {self.incident}"
