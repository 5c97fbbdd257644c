"""What somebody saw of a mount, support by support, and what an engineer said of it. Neither ever changes."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.ground.records import Fact
from catalog.people.models import Person
from registry.mounts.models.mounts import Mount, Support

__all__ = ["EngineersWord", "MountInspection", "SupportFound"]


class MountInspection(Fact):
    """One look at a mount on one day by one person, who says what makes them fit to judge it."""

    ROUND = [("kept", "kept"), ("not kept", "not kept"), ("none", "there is none")]
    mount = models.ForeignKey(Mount, models.PROTECT, related_name="inspections")
    on = models.DateField(db_index=True)
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    competence = models.CharField(max_length=200)
    clearance = models.CharField(max_length=10, choices=ROUND, blank=True)
    barrier = models.CharField(max_length=10, choices=ROUND, blank=True)
    action = models.TextField(blank=True)
    note = models.TextField(blank=True)
    next_due = models.DateField(null=True, blank=True)
    made_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [models.Index(fields=["mount", "on"], name="inspection_mount_on")]
        constraints = [
            models.CheckConstraint(
                condition=Q(next_due__isnull=True) | Q(next_due__gt=models.F("on")),
                name="inspection_next_later",
                violation_error_message="The next inspection comes after this one.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.mount.number}, {self.on.isoformat()}"

    @property
    def href(self) -> str:
        return f"/inspections/{self.pk}/"


class SupportFound(Fact):
    """How one support was found. `signs`: what is wrong there, of a list that is kept in the rules."""

    inspection = models.ForeignKey(MountInspection, models.PROTECT, related_name="found")
    support = models.ForeignKey(Support, models.PROTECT, related_name="found")
    state = models.CharField(max_length=5, choices=Support.STATES)
    signs = models.JSONField(default=list, blank=True)
    note = models.CharField(max_length=500, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["inspection", "support"],
                name="support_found_once",
                violation_error_message="A support is judged once in an inspection.",
            ),
        ]


class EngineersWord(Fact):
    """What a qualified engineer said of a mount, on which day, and where the paper is. Written down by the keeper."""

    SAYS = [
        ("safe", "it may carry and hang as it is"),
        ("safe with conditions", "it may carry under these conditions"),
        ("not safe", "it is not safe; it stays closed"),
    ]
    mount = models.ForeignKey(Mount, models.PROTECT, related_name="words")
    engineer = models.CharField(max_length=200)
    qualification = models.CharField(max_length=200)
    on = models.DateField()
    says = models.CharField(max_length=20, choices=SAYS)
    conditions = models.TextField(blank=True)
    paper = models.CharField(max_length=300)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(engineer="") & ~Q(qualification="") & ~Q(paper=""),
                name="engineers_word_whole",
                violation_error_message="Name the engineer, the qualification and the paper.",
            ),
        ]
