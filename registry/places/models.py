"""The place tree, current and home places, movements, and who holds a thing."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from catalog.casts.models import MASS_STATES, Cast, CrumbLot, Piece
from catalog.excavations.models import Lift
from catalog.ground.records import Fact, Record
from catalog.ground.search import Found
from catalog.people.models import Person

__all__ = ["Custody", "Movement", "Place", "Placement", "TrayList", "TrayRow"]


class Place(Record):
    """A node of the place tree. A movable place is a container: it moves with what is in it."""

    KINDS = [
        ("station", "station"),
        ("building", "building"),
        ("room", "room"),
        ("bay", "bay"),
        ("unit", "unit"),
        ("shelf", "shelf"),
        ("wall", "wall"),
        ("side", "side"),
        ("bench", "bench"),
        ("frame", "frame"),
        ("crate", "crate"),
        ("tray", "tray"),
        ("box", "box"),
        ("van", "van"),
        ("outside", "outside our house"),
    ]
    code = models.CharField(max_length=20, unique=True)
    name = models.CharField(max_length=200)
    kind = models.CharField(max_length=12, choices=KINDS)
    parent = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="children")
    movable = models.BooleanField(default=False)
    holds_kg = models.DecimalField(max_digits=8, decimal_places=2, null=True, blank=True)
    fitness = models.TextField(blank=True)
    who_enters = models.CharField(max_length=200, blank=True)
    note = models.TextField(blank=True)
    closed_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=~Q(parent=models.F("id")),
                name="place_not_in_itself",
                violation_error_message="A place does not stand in itself.",
            ),
        ]

    def __str__(self) -> str:
        return self.code

    @property
    def href(self) -> str:
        return f"/places/{self.code}/"

    def search_entries(self) -> list[Found]:
        """Found by its code, its name and the names of what it stands in; a container is not: it moves."""
        above = [] if self.movable else _names_above(self)
        return [
            Found(
                "place",
                self.pk,
                self.name,
                self.href,
                number=self.code,
                hint=" · ".join([self.get_kind_display(), *above[:1]]),
                words=f"{self.kind} {' '.join(above)}",
                notes=f"{self.fitness} {self.note}",
                weight=5,
            )
        ]


def _names_above(place: Place) -> list[str]:
    """Names of what a place stands in, nearest first, as far as the next container."""
    names: list[str] = []
    while place.parent is not None and not place.movable and len(names) < 6:
        place = place.parent
        names.append(place.name)
    return names


class Movement(Fact):
    """A cast, a piece or a container went from one place to another. A wrong one is followed by a correcting one."""

    cast = models.ForeignKey(Cast, models.PROTECT, null=True, blank=True, related_name="movements")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="movements")
    container = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="moves")
    from_place = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="+")
    to_place = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="arrivals")
    at = models.DateTimeField(db_index=True)
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    because = models.CharField(max_length=300, blank=True)
    back_on = models.DateField(null=True, blank=True)
    replaces = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="replaced_by")

    class Meta:
        indexes = [
            models.Index(fields=["cast", "at"], name="movement_cast_at"),
            models.Index(fields=["container", "at"], name="movement_container_at"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(cast__isnull=False, container__isnull=True)
                | Q(cast__isnull=True, piece__isnull=True, container__isnull=False),
                name="movement_of_one_thing",
                violation_error_message="A movement is of a cast, a piece of it, or a container.",
            )
        ]

    @property
    def thing(self) -> Cast | Piece | Place:
        """What was moved."""
        found = self.container or self.piece or self.cast
        assert found is not None
        return found

    @property
    def number(self) -> str:
        return str(self.thing)

    @property
    def href(self) -> str:
        return f"/movements/{self.pk}/"


class Placement(Record):
    """Where a cast or one piece of it is now, and where it belongs. A piece without one is where its cast is."""

    cast = models.ForeignKey(Cast, models.PROTECT, related_name="placements")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="placements")
    place = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="placements")
    home = models.ForeignKey(Place, models.PROTECT, null=True, blank=True, related_name="home_of")
    since = models.DateTimeField(null=True, blank=True)
    back_on = models.DateField(null=True, blank=True)
    movement = models.ForeignKey(Movement, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["cast"],
                condition=Q(piece__isnull=True),
                name="placement_one_cast",
                violation_error_message="A cast is in one place.",
            ),
            models.UniqueConstraint(
                fields=["piece"],
                condition=Q(piece__isnull=False),
                name="placement_one_piece",
                violation_error_message="A piece is in one place.",
            ),
        ]

    @property
    def thing(self) -> Cast | Piece:
        return self.piece or self.cast


class Custody(Fact):
    """From this instant `holder` holds it (empty: we do). Entry, exit and hand-over each write one."""

    cast = models.ForeignKey(Cast, models.PROTECT, related_name="custody")
    piece = models.ForeignKey(Piece, models.PROTECT, null=True, blank=True, related_name="+")
    holder = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="holds")
    holder_words = models.CharField(max_length=200, blank=True)
    from_words = models.CharField(max_length=200, blank=True)
    ours = models.BooleanField(default=True)
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    because = models.CharField(max_length=300, blank=True)

    class Meta:
        indexes = [models.Index(fields=["cast", "at"], name="custody_cast_at")]


class TrayList(Record):
    """Pieces of one cast listed in one tray: open while they are entered. A tray is used again for another one later.

    `lift` and `shaft`: what the pieces in it came from, where it is known; a row may say otherwise.
    """

    tray = models.ForeignKey(Place, models.PROTECT, related_name="tray_lists")
    cast = models.ForeignKey(Cast, models.PROTECT, related_name="tray_lists")
    lift = models.ForeignKey(Lift, models.PROTECT, null=True, blank=True, related_name="tray_lists")
    shaft = models.CharField(max_length=40, blank=True)
    state = models.CharField(max_length=10, choices=MASS_STATES, blank=True)
    crumbs = models.OneToOneField(CrumbLot, models.PROTECT, null=True, blank=True, related_name="tray_list")
    begun_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["tray"],
                condition=Q(closed_at__isnull=True),
                name="tray_list_one_open",
                violation_error_message="Pieces are being listed in this tray already. Open it.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.cast} in {self.tray}"

    @property
    def href(self) -> str:
        return f"/trays/{self.tray.code}/"


class TrayRow(Record):
    """One piece of a tray. `row` is made by whoever types it: the same row posted twice is one piece.

    `settled`: somebody looked at what was doubtful about its mass, and it is right.
    """

    tray_list = models.ForeignKey(TrayList, models.PROTECT, related_name="rows")
    row = models.UUIDField()
    piece = models.ForeignKey(Piece, models.PROTECT, related_name="tray_rows")
    by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    settled = models.BooleanField(default=False)
    settled_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["tray_list", "row"],
                name="tray_row_once",
                violation_error_message="This row is kept already.",
            ),
            models.UniqueConstraint(
                fields=["tray_list", "piece"],
                name="tray_piece_once",
                violation_error_message="This piece is in this tray already.",
            ),
        ]
