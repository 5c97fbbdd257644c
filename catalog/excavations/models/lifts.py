"""What left the ground together, and the bags it came up in."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.excavations.models.columns import depth
from catalog.excavations.models.digs import Excavation
from catalog.ground.records import Record
from catalog.ground.search import Found
from catalog.people.models import Person


class Lift(Record):
    """What left the ground together: one depth interval, one bag or tray."""

    excavation = models.ForeignKey(Excavation, models.PROTECT, related_name="lifts")
    n = models.PositiveSmallIntegerField()
    from_cm = depth()
    to_cm = depth()
    shaft = models.CharField(max_length=80, blank=True)
    up_marked = models.BooleanField(null=True, blank=True)
    side = models.CharField(max_length=20, blank=True)
    lifted_on = models.CharField(max_length=40, blank=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["excavation", "n"], name="lift_once", violation_error_message="This lift is there already."
            ),
            models.CheckConstraint(
                condition=Q(from_cm__isnull=True) | Q(to_cm__isnull=True) | Q(to_cm__gte=models.F("from_cm")),
                name="lift_depths",
                violation_error_message="A lift goes from the shallower depth to the deeper one.",
            ),
        ]

    def __str__(self) -> str:
        return f"lift {self.n} of {self.excavation}"

    @property
    def more_words(self) -> str:
        """Which part it is, and what was marked on it."""
        marks = ["upper end marked"] if self.up_marked else []
        marks += [f"{self.side} side marked"] if self.side else []
        return "; ".join(([self.shaft] if self.shaft else []) + marks)

    @property
    def depths(self) -> str:
        """`0 to 14 cm`, `from 44 cm`, empty where nobody measured."""
        ends = [f"{end.normalize():f}" if end is not None else "" for end in (self.from_cm, self.to_cm)]
        if all(ends):
            return f"{ends[0]} to {ends[1]} cm"
        return f"from {ends[0]} cm" if ends[0] else f"to {ends[1]} cm" if ends[1] else ""


class Bag(Record):
    """A bag with a code that was printed before it was used, in pairs: one label inside, one outside."""

    OUTCOMES = [("inventoried", "its pieces are listed"), ("written off", "written off")]
    code = models.CharField(max_length=20, unique=True)
    lift = models.ForeignKey(Lift, models.PROTECT, null=True, blank=True, related_name="bags")
    tied_at = models.DateTimeField(null=True, blank=True)
    tied_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    outcome = models.CharField(max_length=12, choices=OUTCOMES, blank=True)
    ground = models.CharField(max_length=300, blank=True)
    closed_on = models.DateField(null=True, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(outcome="written off") | ~Q(ground=""),
                name="bag_written_off_why",
                violation_error_message="A bag is written off with the reason.",
            )
        ]

    def __str__(self) -> str:
        return self.code

    @property
    def href(self) -> str:
        return f"/bags/{self.code}/"

    def search_entries(self) -> list[Found]:
        return [
            Found(
                "bag",
                self.pk,
                f"bag {self.code}",
                self.href,
                number=self.code,
                hint=str(self.lift or "unused"),
            )
        ]
