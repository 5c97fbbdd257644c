"""Where one digs, and by whose leave."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.ground.records import Record
from catalog.ground.search import Found
from catalog.people.models import Person

CATEGORY_WORDS = {
    "1": "kept back: only the region is given",
    "2": "kept back: to 0.1 degree",
    "3": "kept back: to 0.01 degree",
    "4": "kept back: to 0.001 degree",
    "none": "not kept back",
}


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

    @property
    def href(self) -> str:
        return f"/sites/{self.pk}/"

    @property
    def category_words(self) -> str:
        """`kept back: to 0.1 degree`, as the end of a sentence."""
        return CATEGORY_WORDS.get(self.category, CATEGORY_WORDS["2"])

    def search_entries(self) -> list[Found]:
        return [Found("site", self.pk, self.name, self.href, hint=self.region, notes=self.note)]


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

    @property
    def href(self) -> str:
        return f"/permits/{self.pk}/"

    def search_entries(self) -> list[Found]:
        return [
            Found(
                "permit",
                self.pk,
                str(self),
                self.href,
                number=self.number,
                notes=f"{self.animals} {self.note}",
            )
        ]
