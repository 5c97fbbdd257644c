"""Break faces, which of them fit, and which were tried and do not."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from catalog.casts.models.casts import Cast
from catalog.casts.models.columns import mm_column
from catalog.casts.models.pieces import Piece
from catalog.ground.records import Record
from catalog.people.models import Person


class BreakFace(Record):
    """A broken surface of a piece, where another may fit; `natural_end` where nothing was broken.

    A face goes on to the child that carries it when its piece breaks; `first_on` is the piece it was first seen on. A
    divided face counts no longer: its parts do.
    """

    SIDES = [("upper", "upper"), ("lower", "lower")]
    piece = models.ForeignKey(Piece, models.PROTECT, related_name="faces")
    first_on = models.ForeignKey(Piece, models.PROTECT, related_name="+")
    letter = models.CharField(max_length=8)
    length_mm = mm_column()
    width_mm = mm_column()
    side = models.CharField(max_length=5, choices=SIDES, blank=True)
    natural_end = models.BooleanField(default=False)
    divided = models.BooleanField(default=False)
    part_of = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="parts")
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["piece", "letter"],
                name="face_letter_once",
                violation_error_message="This piece has a face of that letter already.",
            ),
            models.CheckConstraint(
                condition=Q(natural_end=False) | Q(divided=False),
                name="face_end_whole",
                violation_error_message="A natural end is not divided.",
            ),
        ]

    def __str__(self) -> str:
        return self.number

    @property
    def number(self) -> str:
        return f"{self.piece.number}/{self.letter}"


class Join(Record):
    """Two faces that fit. `by` and `on`: who brought it into the state it is in, and when; earlier states are its history."""

    STATES = [("dry fit", "dry fit"), ("fixed", "fixed"), ("failed", "failed"), ("undone", "undone")]
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="joins")
    face_a = models.ForeignKey(BreakFace, models.PROTECT, related_name="joins_a")
    face_b = models.ForeignKey(BreakFace, models.PROTECT, related_name="joins_b")
    state = models.CharField(max_length=8, choices=STATES)
    adhesive = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="joins")
    on = models.DateField()
    note = models.CharField(max_length=500, blank=True)
    from_breakage = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(face_a=F("face_b")),
                name="join_two_faces",
                violation_error_message="A face does not fit itself. Choose another face.",
            ),
            models.UniqueConstraint(
                fields=["face_a"],
                condition=Q(state__in=["dry fit", "fixed"]),
                name="join_a_once",
                violation_error_message="A face is in one standing join at most. Undo that one first.",
            ),
            models.UniqueConstraint(
                fields=["face_b"],
                condition=Q(state__in=["dry fit", "fixed"]),
                name="join_b_once",
                violation_error_message="A face is in one standing join at most. Undo that one first.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.face_a} to {self.face_b}"

    @property
    def standing(self) -> bool:
        return self.state in ("dry fit", "fixed")


class RefusedFit(Record):
    """Two faces that somebody tried and that do not fit: never suggested again unless it is taken back."""

    cast = models.ForeignKey(Cast, models.PROTECT, related_name="refused_fits")
    face_a = models.ForeignKey(BreakFace, models.PROTECT, related_name="refused_a")
    face_b = models.ForeignKey(BreakFace, models.PROTECT, related_name="refused_b")
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    on = models.DateField()
    why = models.CharField(max_length=300, blank=True)
    taken_back = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["face_a", "face_b"],
                name="refused_fit_once",
                violation_error_message="That these two do not fit is on record already.",
            ),
        ]
