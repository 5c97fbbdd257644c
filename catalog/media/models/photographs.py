"""What was photographed or handed over on paper. The bytes lie in the vault under their SHA-256; these rows name them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.casts.models import Cast, Piece
from catalog.excavations.models import Excavation, Permit, Site
from catalog.ground.records import Fact, Record
from catalog.people.models import Person

__all__ = ["Document", "FileCheck", "Photograph"]


class Photograph(Record):
    """One picture, kept byte for byte. `width_px` and `height_px` are those of the upright picture."""

    sha256 = models.CharField(max_length=64, db_index=True)
    size = models.PositiveBigIntegerField()
    file_kind = models.CharField(max_length=20)
    file_name = models.CharField(max_length=300, blank=True)
    width_px = models.PositiveIntegerField(null=True, blank=True)
    height_px = models.PositiveIntegerField(null=True, blank=True)
    has_position = models.BooleanField(default=False)
    taken_at_said = models.CharField(max_length=40, blank=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="photographs")
    cast = models.ForeignKey(Cast, models.PROTECT, null=True, blank=True, related_name="photographs")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="photographs")
    excavation = models.ForeignKey(Excavation, models.PROTECT, null=True, blank=True, related_name="photographs")
    view = models.CharField(max_length=80, blank=True)
    has_scale = models.BooleanField(null=True, blank=True)
    of_label = models.BooleanField(default=False)
    shows_place = models.BooleanField(default=False)
    caption = models.CharField(max_length=300, blank=True)
    rights = models.CharField(max_length=120, blank=True)
    rank = models.SmallIntegerField(default=0)
    withdrawn_on = models.DateField(null=True, blank=True)
    withdrawn_why = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(cast__isnull=False) | Q(excavation__isnull=False),
                name="photograph_of_something",
                violation_error_message="A photograph is of a cast or of an excavation.",
            )
        ]

    def __str__(self) -> str:
        return self.caption or self.view or "photograph"


class Document(Record):
    """A paper on record: a photograph or PDF of it, or the words where the original lies."""

    KINDS = [
        ("title", "title paper"),
        ("permit", "permit"),
        ("consent", "landowner's consent"),
        ("letter", "letter"),
        ("receipt", "receipt"),
        ("minute", "minute"),
        ("register page", "page of an older register"),
        ("other", "other paper"),
    ]
    kind = models.CharField(max_length=20, choices=KINDS, default="other")
    what = models.CharField(max_length=300)
    dated = models.CharField(max_length=40, blank=True)
    where_it_lies = models.CharField(max_length=300, blank=True)
    sha256 = models.CharField(max_length=64, blank=True, db_index=True)
    size = models.PositiveBigIntegerField(null=True, blank=True)
    file_kind = models.CharField(max_length=20, blank=True)
    file_name = models.CharField(max_length=300, blank=True)
    has_position = models.BooleanField(default=False)
    cast = models.ForeignKey(Cast, models.PROTECT, null=True, blank=True, related_name="documents")
    excavation = models.ForeignKey(Excavation, models.PROTECT, null=True, blank=True, related_name="documents")
    permit = models.ForeignKey(Permit, models.PROTECT, null=True, blank=True, related_name="documents")
    site = models.ForeignKey(Site, models.PROTECT, null=True, blank=True, related_name="documents")
    person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="documents")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(sha256="") | ~Q(where_it_lies=""),
                name="document_is_somewhere",
                violation_error_message="Add a photograph or PDF of the paper, or write where the original lies.",
            )
        ]

    def __str__(self) -> str:
        return self.what


class FileCheck(Fact):
    """One look at the bytes of a file: whether they still give their checksum."""

    sha256 = models.CharField(max_length=64, db_index=True)
    stands = models.BooleanField()
    said = models.CharField(max_length=300, blank=True)
