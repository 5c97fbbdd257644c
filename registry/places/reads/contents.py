"""What stands in a place: rows, counts and masses, containers' contents counted in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db.models import Case, Count, Exists, F, IntegerField, OuterRef, QuerySet, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce

from catalog.casts.models import Cast, Piece
from catalog.casts.subject import Subject
from catalog.ground.collection import today
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from registry.places.models import Movement, Place, Placement
from registry.places.reads.tree import within
from registry.places.reads.whereabouts import placement_of, standing
from registry.places.rules import Load


@dataclass(frozen=True)
class Sum_:
    """How much stands somewhere. `mass_g` as far as weighed; `n_unweighed` things have no mass on record."""

    n_casts: int = 0
    n_pieces: int = 0
    mass_g: Decimal | None = None
    n_unweighed: int = 0


def placements_in(reader: Actor, place: Place) -> QuerySet[Placement]:
    """Casts and pieces that are in this place or in a container in it."""
    rows = Placement.objects.select_related("cast", "cast__taxon", "piece", "place").filter(place__in=within(place))
    return rows.filter(cast__in=visible_to(reader, Cast.objects.all())).order_by("cast__sort", "piece__sort", "pk")


def contents(reader: Actor, place: Place) -> QuerySet[Any]:
    """The same rows, each with `n_here`, how many pieces of it are there, and `mass_here_g`."""
    return _weighed(_counted(placements_in(reader, place)).select_related("piece__cast"))


def _present(**which: Any) -> QuerySet[Piece]:
    return Piece.objects.filter(cast=OuterRef("cast"), present=True, **which).order_by()


def _elsewhere() -> Exists:
    """A piece has a placement of its own."""
    return Exists(Placement.objects.filter(piece=OuterRef("pk"), place__isnull=False))


def _n(pieces: QuerySet[Piece]) -> Coalesce:
    counted = pieces.values("cast").annotate(n=Count("pk")).values("n")
    return Coalesce(Subquery(counted, IntegerField()), Value(0))


def _counted(rows: QuerySet[Placement]) -> QuerySet[Any]:
    """Pieces of each row: of a whole cast those listed that have not gone their own way, else as many as were said, else one."""
    listed = rows.annotate(n_listed=_n(_present()), n_with_it=_n(_present().filter(~_elsewhere())))
    said = Coalesce(F("cast__n_parts"), Value(1), output_field=IntegerField())
    whole = Case(When(n_listed__gt=0, then=F("n_with_it")), default=said, output_field=IntegerField())
    return listed.annotate(n_here=Case(When(piece__isnull=False, then=Value(1)), default=whole))


def _weighed(rows: QuerySet[Any]) -> QuerySet[Any]:
    """The mass of each row: of a cast without its pieces that are elsewhere."""
    apart = _present().filter(_elsewhere()).values("cast").annotate(m=Sum("mass_g")).values("m")
    of_cast = F("cast__mass_g") - Coalesce(Subquery(apart), Value(Decimal(0)))
    return rows.annotate(mass_here_g=Case(When(piece__isnull=False, then=F("piece__mass_g")), default=of_cast))


def sum_of(rows: QuerySet[Any]) -> Sum_:
    """How much these rows of `contents` are, in one query."""
    found = rows.order_by().aggregate(
        casts=Count("cast", distinct=True),
        pieces=Sum("n_here"),
        mass=Sum("mass_here_g"),
        weighed=Count("mass_here_g"),
        rows=Count("pk"),
    )
    unweighed = found["rows"] - found["weighed"]
    return Sum_(found["casts"], found["pieces"] or 0, found["mass"], unweighed)


def sum_in(reader: Actor, place: Place) -> Sum_:
    """How much stands in a place, in two queries."""
    return sum_of(contents(reader, place))


def containers_in(place: Place) -> QuerySet[Place]:
    """Containers that stand in this place itself."""
    return place.children.filter(movable=True, closed_on__isnull=True).order_by("code")


def load_of(reader: Actor, target: Place, what: Subject | Place) -> Load:
    """What the target holds, bears and would get; asks nothing where nobody said what it holds."""
    if target.holds_kg is None:
        return Load()
    comes = sum_in(reader, what).mass_g if isinstance(what, Place) else _mass_g(what)
    already = _is_in(what, within(target))
    there = sum_in(reader, target).mass_g or Decimal(0)
    return Load(target.holds_kg, there / 1000, Decimal(0) if already else (comes or Decimal(0)) / 1000)


def _mass_g(what: Subject) -> Decimal | None:
    return what.piece.mass_g if what.piece else what.cast.mass_g


def _is_in(what: Subject | Place, keys: list[int]) -> bool:
    """It stands there already, however deep, so that its mass is counted."""
    if isinstance(what, Place):
        return what.parent_id in keys
    placed = placement_of(what)
    return bool(placed and placed.place_id in keys)


# what wants somebody


def overdue(reader: Actor) -> QuerySet[Any]:
    """Casts and pieces whose planned return is over, longest first."""
    rows = Placement.objects.select_related("cast", "piece__cast", "place__parent").filter(back_on__lt=today())
    seen = visible_to(reader, Cast.objects.filter(closed_as__in=("", "kept for teaching")))
    return rows.filter(cast__in=seen, place__isnull=False).order_by("back_on", "pk")


def overdue_containers(reader: Actor) -> QuerySet[Any]:
    """The last movement of each container whose planned return is over."""
    newest = standing(Movement.objects.filter(container=OuterRef("container"))).order_by("-at", "-pk").values("pk")[:1]
    rows = visible_to(reader, Movement.objects.select_related("container", "to_place__parent"))
    late = rows.filter(container__isnull=False, container__closed_on__isnull=True, back_on__lt=today())
    return late.filter(pk=Subquery(newest)).order_by("back_on", "pk")


def in_vans_since(reader: Actor, limit: datetime, *, most: int) -> list[tuple[str, str, datetime]]:
    """(number, van, since) of what stands in a van itself since before an instant: casts, pieces, containers."""
    placed = Placement.objects.select_related("cast", "piece__cast", "place").filter(place__kind="van", since__lt=limit)
    found = [
        (str(p.thing), p.place.name if p.place else "", p.since)
        for p in placed.filter(cast__in=visible_to(reader, Cast.objects.all())).order_by("since", "pk")[:most]
        if p.since
    ]
    last = standing(Movement.objects.filter(container=OuterRef("pk"))).order_by("-at", "-pk").values("at")[:1]
    crates: QuerySet[Any] = Place.objects.select_related("parent").filter(
        movable=True, parent__kind="van", closed_on__isnull=True
    )
    for crate in (
        visible_to(reader, crates.annotate(came=Subquery(last))).filter(came__lt=limit).order_by("came")[:most]
    ):
        found.append((crate.code, crate.parent.name if crate.parent else "", crate.came))
    return found
