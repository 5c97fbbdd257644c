"""Who said which animal a cast is of."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from catalog.casts.models.casts import Cast
from catalog.ground.records import Record
from catalog.people.models import Account, Person
from catalog.taxa.models import Taxon


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
