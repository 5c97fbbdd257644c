"""Material lots with their ledgers, and the pours that draw on them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.excavations.models.columns import mass
from catalog.excavations.models.digs import Excavation
from catalog.ground import say
from catalog.ground.records import Fact, Record
from catalog.ground.search import Found
from catalog.people.models import Person

MATERIALS = [
    "plaster",
    "wax",
    "polyester resin",
    "epoxy",
    "silicone-cast resin",
    "zinc",
    "aluminium",
    "lead",
    "expanding foam",
    "other",
    "unknown",
]


class MaterialLot(Record):
    """A bag, can, ingot set or scrap source with a balance that pours draw on and recoveries refill."""

    code = models.CharField(max_length=20, unique=True)
    material = models.CharField(max_length=40)
    what = models.CharField(max_length=300, blank=True)
    from_whom = models.CharField(max_length=200, blank=True)
    opened_on = models.DateField(null=True, blank=True)
    balance_g = models.DecimalField(max_digits=12, decimal_places=3, default=0)
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(balance_g__gte=0),
                name="lot_not_below_zero",
                violation_error_message="There is not so much in this lot.",
            )
        ]

    def __str__(self) -> str:
        return self.code

    @property
    def href(self) -> str:
        return f"/material-lots/{self.code}/"

    def search_entries(self) -> list[Found]:
        return [
            Found(
                "lot",
                self.pk,
                f"{self.code} {self.material}",
                self.href,
                number=self.code,
                hint=self.what,
                notes=self.note,
            )
        ]


class Pour(Record):
    """One charge of material let into the ground."""

    excavation = models.ForeignKey(Excavation, models.PROTECT, related_name="pours")
    n = models.PositiveSmallIntegerField()
    material = models.CharField(max_length=40)
    lot = models.ForeignKey(MaterialLot, models.PROTECT, null=True, blank=True, related_name="pours")
    mass_g = mass()
    water_g = mass()
    mixture = models.CharField(max_length=200, blank=True)
    temperature_c = models.DecimalField(max_digits=6, decimal_places=1, null=True, blank=True)
    melt_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    poured_on = models.CharField(max_length=40, blank=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    entrance = models.CharField(max_length=120, blank=True)
    recovered_g = mass()
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["excavation", "n"], name="pour_once", violation_error_message="This pour is there already."
            )
        ]

    def __str__(self) -> str:
        return f"pour {self.n} of {self.excavation}"

    @property
    def how_words(self) -> str:
        """Mixture, water, heat and entrance, as far as written."""
        parts = [
            self.mixture,
            f"{say.mass(self.water_g)} of water" if self.water_g is not None else "",
            f"{say.figure(self.temperature_c)} °C" if self.temperature_c is not None else "",
            f"molten for {self.melt_minutes} min" if self.melt_minutes is not None else "",
            f"into {self.entrance}" if self.entrance else "",
        ]
        return "; ".join(part for part in parts if part)


class LotEntry(Fact):
    """One line of a lot's ledger: in is above zero, out is below."""

    KINDS = [
        ("taken in", "taken in"),
        ("drawn", "drawn"),
        ("put back", "put back"),
        ("lost", "lost"),
        ("corrected", "corrected"),
    ]
    lot = models.ForeignKey(MaterialLot, models.PROTECT, related_name="entries")
    kind = models.CharField(max_length=12, choices=KINDS)
    mass_g = models.DecimalField(max_digits=12, decimal_places=3)
    balance_after_g = models.DecimalField(max_digits=12, decimal_places=3)
    on = models.DateField()
    pour = models.ForeignKey(Pour, models.PROTECT, null=True, blank=True, related_name="lot_entries")
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    words = models.CharField(max_length=300, blank=True)
