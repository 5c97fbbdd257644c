"""One nest dug: place, day, people, leave, pours, lifts, bags; and the lots that pours draw on."""

from __future__ import annotations

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q

from catalog.ground.records import Fact, Record
from catalog.ground.search import Found
from catalog.people.models import Person
from catalog.taxa.models import Taxon

__all__ = [
    "Bag",
    "ExactPlace",
    "Excavation",
    "ExcavationPerson",
    "Lift",
    "LotEntry",
    "MaterialLot",
    "Permit",
    "Pour",
    "Site",
]

_NOT_NEGATIVE = [MinValueValidator(0)]


def _mass(**kwargs: object) -> models.DecimalField:
    return models.DecimalField(
        max_digits=12, decimal_places=3, null=True, blank=True, validators=_NOT_NEGATIVE, **kwargs
    )  # type: ignore[arg-type]


def _depth() -> models.DecimalField:
    return models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)


class Site(Record):
    """Where one digs. What is exact lies with the excavation's ExactPlace; `region` is what visitors may read."""

    CATEGORIES = [
        ("1", "kept back: region only"),
        ("2", "kept back: to 0.1 degree"),
        ("3", "to 0.01 degree"),
        ("4", "to 0.001 degree"),
        ("none", "as it is"),
    ]
    name = models.CharField(max_length=200)
    region = models.CharField(max_length=200, blank=True)
    country = models.CharField(max_length=2, blank=True)
    category = models.CharField(max_length=4, choices=CATEGORIES, default="2")
    category_ground = models.CharField(max_length=300, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["name"], name="site_once", violation_error_message="A site of this name is there already."
            )
        ]

    def __str__(self) -> str:
        return self.name

    def search_entries(self) -> list[Found]:
        return [Found("site", self.pk, self.name, f"/sites/{self.pk}/", hint=self.region, notes=self.note)]


class Permit(Record):
    """A leave on paper: to collect, or the landowner's consent."""

    KINDS = [("collecting permit", "collecting permit"), ("landowner's consent", "landowner's consent")]
    kind = models.CharField(max_length=30, choices=KINDS)
    number = models.CharField(max_length=80)
    given_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    holder = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    site = models.ForeignKey(Site, models.PROTECT, null=True, blank=True, related_name="permits")
    from_on = models.DateField(null=True, blank=True)
    until_on = models.DateField(null=True, blank=True)
    most_nests = models.PositiveSmallIntegerField(null=True, blank=True)
    animals = models.CharField(max_length=300, blank=True)
    method = models.CharField(max_length=300, blank=True)
    duties = models.TextField(blank=True)
    where_it_lies = models.CharField(max_length=300, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(until_on__isnull=True) | Q(from_on__isnull=True) | Q(until_on__gte=models.F("from_on")),
                name="permit_days",
                violation_error_message="A permit does not end before it begins.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.number}"

    def search_entries(self) -> list[Found]:
        return [
            Found(
                "permit",
                self.pk,
                str(self),
                f"/permits/{self.pk}/",
                number=self.number,
                notes=f"{self.animals} {self.note}",
            )
        ]


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
    depth_cm = _depth()
    depths_from = models.CharField(max_length=200, blank=True)
    BEARINGS = [("magnetic", "magnetic"), ("true", "true"), ("unknown", "not known")]
    bearing_deg = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    bearing_is = models.CharField(max_length=10, choices=BEARINGS, blank=True)
    EXTENTS = [("complete", "the whole nest"), ("partial", "a part of it"), ("unknown", "not known")]
    extent = models.CharField(max_length=10, choices=EXTENTS, blank=True)
    left_in_ground = models.TextField(blank=True)
    left_mass_g = _mass()
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
    def place_words(self) -> str:
        return self.site.name if self.site else ""

    def search_entries(self) -> list[Found]:
        title = " · ".join(p for p in (self.number, self.place_words, self.field_number) if p)
        return [
            Found(
                "excavation",
                self.pk,
                title,
                f"/excavations/{self.number}/",
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

    def search_entries(self) -> list[Found]:
        return [
            Found(
                "lot",
                self.pk,
                f"{self.code} {self.material}",
                f"/material-lots/{self.code}/",
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
    mass_g = _mass()
    water_g = _mass()
    mixture = models.CharField(max_length=200, blank=True)
    temperature_c = models.DecimalField(max_digits=6, decimal_places=1, null=True, blank=True)
    melt_minutes = models.PositiveSmallIntegerField(null=True, blank=True)
    poured_on = models.CharField(max_length=40, blank=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    entrance = models.CharField(max_length=120, blank=True)
    recovered_g = _mass()
    note = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["excavation", "n"], name="pour_once", violation_error_message="This pour is there already."
            )
        ]

    def __str__(self) -> str:
        return f"pour {self.n} of {self.excavation}"


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


class Lift(Record):
    """What left the ground together: one depth interval, one bag or tray."""

    excavation = models.ForeignKey(Excavation, models.PROTECT, related_name="lifts")
    n = models.PositiveSmallIntegerField()
    from_cm = _depth()
    to_cm = _depth()
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

    def search_entries(self) -> list[Found]:
        return [
            Found(
                "bag",
                self.pk,
                f"bag {self.code}",
                f"/bags/{self.code}/",
                number=self.code,
                hint=str(self.lift or "unused"),
            )
        ]
