"""How a thing comes in, is decided on, gets its number and its line for ever, is marked, and goes out."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from catalog.casts.models import Cast, Piece
from catalog.excavations.models import Excavation
from catalog.ground.records import Fact, Record
from catalog.ground.search import Found
from catalog.media.models import Document
from catalog.people.models import Account, Person
from registry.accessions.states import CHIPS, HOWS, STATES, TITLE_STATES, WAYS

__all__ = [
    "Accession",
    "Acquisition",
    "Checkpoint",
    "Entry",
    "EntryObject",
    "Exit",
    "LedgerHead",
    "LedgerLine",
    "LineSource",
    "Marking",
    "StatedValue",
    "Title",
]


class Entry(Record):
    """Something came through the door: what, from whom, why, when, how many parts, where it was put."""

    number = models.CharField(max_length=40, unique=True)
    what = models.CharField(max_length=500)
    how = models.CharField(max_length=40, choices=HOWS)
    came_on = models.DateField()
    n_parts = models.PositiveIntegerField(null=True, blank=True)
    parts_are = models.CharField(max_length=60, blank=True)
    from_person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="entries")
    from_words = models.CharField(max_length=200, blank=True)
    owner = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    owner_words = models.CharField(max_length=200, blank=True)
    owner_is_us = models.BooleanField(default=False)
    taken_in_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    excavation = models.ForeignKey(Excavation, models.PROTECT, null=True, blank=True, related_name="entries")
    packing = models.CharField(max_length=300, blank=True)
    back_by = models.DateField(null=True, blank=True)
    hazards = models.TextField(blank=True)
    note = models.TextField(blank=True)
    # the device's own hour, where it was written without signal; never used for the order of things
    made_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.number

    @property
    def href(self) -> str:
        return f"/entries/{self.number}/"

    def search_entries(self) -> list[Found]:
        return [
            Found(
                "entry",
                self.pk,
                self.what,
                self.href,
                number=self.number,
                hint=self.get_how_display(),
                words=f"{self.from_words} {self.from_person or ''}",
                notes=self.note,
            )
        ]


class StatedValue(Record):
    """What the depositor said it is worth: for the registrar and the keeper only."""

    entry = models.OneToOneField(Entry, models.CASCADE, related_name="stated_value")
    amount = models.DecimalField(max_digits=14, decimal_places=4)
    currency = models.CharField(max_length=3)


class EntryObject(Record):
    """One object of an entry: each can become a cast of ours, or end otherwise, with its reason."""

    entry = models.ForeignKey(Entry, models.PROTECT, related_name="objects_of")
    index = models.PositiveSmallIntegerField()
    cast = models.OneToOneField(Cast, models.PROTECT, related_name="entry_object")
    state = models.CharField(max_length=20, choices=list(STATES.items()), default="entered", db_index=True)
    ground = models.CharField(max_length=500, blank=True)
    same_as = models.ForeignKey(Cast, models.PROTECT, null=True, blank=True, related_name="+")
    closed_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["entry", "index"],
                name="entry_object_once",
                violation_error_message="This object of the entry is there already.",
            ),
            models.CheckConstraint(
                condition=~Q(state__in=["refused", "given back", "kept for teaching"]) | ~Q(ground=""),
                name="entry_object_ground",
                violation_error_message="Say why it ends so.",
            ),
            models.CheckConstraint(
                condition=~Q(state="same as another") | Q(same_as__isnull=False),
                name="entry_object_same_as",
                violation_error_message="Name the cast that it is the same as.",
            ),
        ]

    @property
    def chip(self) -> str:
        """How the word of its state looks."""
        return CHIPS.get(self.state, "")


class Acquisition(Record):
    """The case for keeping a cast, and the decision of someone else."""

    cast = models.OneToOneField(Cast, models.PROTECT, related_name="acquisition")
    way = models.CharField(max_length=30, choices=WAYS)
    case = models.TextField(blank=True)
    from_person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    from_words = models.CharField(max_length=300, blank=True)
    conditions = models.TextField(blank=True)
    search_record = models.TextField(blank=True)
    proposed_by = models.ForeignKey(Account, models.PROTECT, related_name="+")
    proposed_on = models.DateField()
    decision = models.CharField(max_length=10, choices=[("accepted", "accepted"), ("refused", "refused")], blank=True)
    decided_by = models.ForeignKey(Account, models.PROTECT, null=True, blank=True, related_name="+")
    decider = models.CharField(max_length=200, blank=True)
    decided_on = models.DateField(null=True, blank=True)
    minute = models.CharField(max_length=300, blank=True)
    ground = models.TextField(blank=True)
    by_standing_decision = models.BooleanField(default=False)
    single_handed = models.BooleanField(default=False)
    witness = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(decided_by__isnull=True)
                | ~Q(decided_by=F("proposed_by"))
                | Q(single_handed=True)
                | Q(by_standing_decision=True)
                | ~Q(decider=""),
                name="acquisition_two_people",
                violation_error_message="Nobody decides on what they proposed.",
            ),
            models.CheckConstraint(
                condition=Q(decision="") | Q(decided_on__isnull=False),
                name="acquisition_decided_on",
                violation_error_message="Say on which day it was decided.",
            ),
        ]


class Title(Fact):
    """A state of title of a cast, with its paper and day. The newest holds; earlier ones stay."""

    cast = models.ForeignKey(Cast, models.PROTECT, related_name="titles")
    state = models.CharField(max_length=24, choices=TITLE_STATES)
    on = models.DateField()
    passed_on = models.CharField(max_length=40, blank=True)
    document = models.ForeignKey(Document, models.PROTECT, null=True, blank=True, related_name="+")
    paper_words = models.CharField(max_length=300, blank=True)
    ground = models.TextField(blank=True)
    said_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        indexes = [models.Index(fields=["cast", "-id"], name="title_newest")]
        constraints = [
            models.CheckConstraint(
                condition=Q(state__in=[s for s, _ in TITLE_STATES]),
                name="title_state",
                violation_error_message="Title is clear, clear with conditions, presumed, disputed or unknown.",
            )
        ]


class LedgerLine(Fact):
    """One line of the accession register: the sealed bytes, and columns beside them for search."""

    n = models.PositiveIntegerField(unique=True)
    kind = models.CharField(max_length=20)
    number = models.CharField(max_length=60, blank=True, db_index=True)
    year = models.PositiveSmallIntegerField(null=True, blank=True)
    object = models.CharField(max_length=500, blank=True)
    at = models.DateTimeField()
    corrects = models.PositiveIntegerField(null=True, blank=True)
    cast = models.ForeignKey(Cast, models.PROTECT, null=True, blank=True, related_name="lines")
    raw = models.BinaryField()
    leaf = models.BinaryField()
    head = models.BinaryField()

    class Meta:
        constraints = [
            # an accession number is given once for ever, also after disposal
            models.UniqueConstraint(
                fields=["number"],
                condition=Q(kind__in=["accession", "transcribed", "void"]),
                name="register_number_once",
                violation_error_message="This number was given before. A number is never given twice.",
            ),
        ]


class LedgerHead(models.Model):
    """Size and roots of the full subtrees, so that the next line is appended quickly. Locked last, held shortest."""

    size = models.PositiveIntegerField(default=0)
    frontier = models.BinaryField(default=b"")


class LineSource(models.Model):
    """From whom a line's object came, with its salt: what may have to be erased, beside the hash that stays in the line."""

    line = models.OneToOneField(LedgerLine, models.PROTECT, related_name="source")
    salt = models.BinaryField()
    text = models.TextField(blank=True)


class Checkpoint(Fact):
    """The register's size and root at an instant, as text that is sent out or printed; also those received back."""

    size = models.PositiveIntegerField()
    root = models.BinaryField()
    text = models.TextField()
    why = models.CharField(max_length=120)
    at = models.DateTimeField()


class Accession(Fact):
    """A permanent number was given to a cast, by the register line that says so.

    `dated` is the day as the register says it (EDTF); `on` is set where that is one day.
    """

    cast = models.OneToOneField(Cast, models.PROTECT, related_name="accession")
    number = models.CharField(max_length=40, unique=True)
    on = models.DateField(null=True, blank=True)
    dated = models.CharField(max_length=40, blank=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    line = models.OneToOneField(LedgerLine, models.PROTECT, related_name="accession")
    way = models.CharField(max_length=30, blank=True)
    taken_over_from = models.CharField(max_length=300, blank=True)
    lacks = models.JSONField(default=list)


class Marking(Record):
    """The number put on the object itself: how, where, with what, by whom, and whether it reads."""

    cast = models.ForeignKey(Cast, models.PROTECT, related_name="markings")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="markings")
    number = models.CharField(max_length=60)
    method = models.CharField(max_length=120)
    where = models.CharField(max_length=200, blank=True)
    with_what = models.CharField(max_length=200, blank=True)
    on = models.DateField()
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    read_back = models.BooleanField(default=False)
    gone_on = models.DateField(null=True, blank=True)
    gone_why = models.CharField(max_length=200, blank=True)


class Exit(Record):
    """Something left our care: to whom, why, on whose word."""

    number = models.CharField(max_length=40, unique=True)
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="exits")
    on = models.DateField()
    to_person = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    to_words = models.CharField(max_length=200, blank=True)
    reason = models.CharField(max_length=300)
    authority = models.CharField(max_length=300, blank=True)
    carrier = models.CharField(max_length=200, blank=True)
    packing = models.CharField(max_length=300, blank=True)
    n_parts = models.PositiveIntegerField(null=True, blank=True)
    for_good = models.BooleanField(default=True)
    back_by = models.DateField(null=True, blank=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    def __str__(self) -> str:
        return self.number
