"""How much of a cast is here: its present pieces, the sections they hang in, completeness. A few queries, whatever the pieces."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property

from catalog.casts.completeness import Share, by_chambers, by_faces, by_mass, dry_of_plaster
from catalog.casts.mass_balance import Weighed, width_g
from catalog.casts.models import BreakFace, Cast, CrumbLot, Join, Piece
from catalog.casts.rules.pieces import FIXED, STANDING
from catalog.casts.sections import Carried, carried, left_out, sections
from catalog.excavations.models import Pour
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to

SPRUE = "sprue"
# pours are weighed roughly: taken to one per cent where nobody wrote better (common practice, no source)
_ROUGH = Decimal("0.01")


@dataclass
class Whole:
    """A cast as a whole: `pieces` those present, in natural order; `joins` those standing, with faces and pieces."""

    cast: Cast
    pieces: list[Piece]
    joins: list[Join]
    faces: list[tuple[int, bool]] = field(default_factory=list)
    crumbs: list[CrumbLot] = field(default_factory=list)
    pours: list[Pour] = field(default_factory=list)

    def _ties(self, joins: list[Join]) -> list[tuple[int, int]]:
        return [(j.face_a.piece_id, j.face_b.piece_id) for j in joins]

    @cached_property
    def fixed(self) -> list[Join]:
        return [j for j in self.joins if j.state == FIXED]

    @cached_property
    def by_pk(self) -> dict[int, Piece]:
        return {p.pk: p for p in self.pieces}

    def _sections(self, joins: list[Join]) -> list[list[Piece]]:
        groups = sections(list(self.by_pk), self._ties(joins))
        return [[self.by_pk[pk] for pk in group] for group in groups]

    @cached_property
    def sections(self) -> list[list[Piece]]:
        """Pieces that fixed joins hold together, by the smallest number; a piece without one is a section of its own."""
        return self._sections(self.fixed)

    @cached_property
    def laid_together(self) -> list[list[Piece]]:
        """The same where dry fits count too."""
        return self._sections(self.joins)

    @cached_property
    def loose(self) -> list[Piece]:
        """Pieces that no standing join holds."""
        held = {pk for tie in self._ties(self.joins) for pk in tie}
        return [p for p in self.pieces if p.pk not in held]

    @cached_property
    def left_out(self) -> list[Join]:
        """Standing joins one side of which is on a piece that is no longer there: nobody said which part carries it."""
        return [self.joins[i] for i in left_out(self.by_pk, self._ties(self.joins))]

    @cached_property
    def carried(self) -> list[tuple[Join, Carried]]:
        """Fixed joins that alone hold much of their section."""
        masses = {p.pk: p.mass_g for p in self.pieces}
        return [(self.fixed[c.join], c) for c in carried(list(self.by_pk), self._ties(self.fixed), masses)]

    @cached_property
    def weighed(self) -> list[Weighed]:
        """Pieces and crumbs that were weighed, sprue among them."""
        bodies: list[Piece | CrumbLot] = [*self.pieces, *self.crumbs]
        return [w for body in bodies if (w := weighed(body))]

    @cached_property
    def weighed_g(self) -> Decimal | None:
        return sum((w.mass_g for w in self.weighed), Decimal(0)) if self.weighed else None

    @cached_property
    def weighed_u_g(self) -> Decimal | None:
        return sum((width_g(w) ** 2 for w in self.weighed), Decimal(0)).sqrt() if self.weighed else None

    @cached_property
    def completeness(self) -> list[Share]:
        """By mass, by break faces, by chambers: never one figure."""
        n_ends = sum(1 for _, natural_end in self.faces if natural_end)
        faces = by_faces(len(self.faces), n_ends, len(self._here()), n_pieces=max(len(self.pieces), 1))
        n_chambers = sum(1 for p in self.pieces if p.kind == "chamber")
        return [self._by_mass(), faces, by_chambers(n_chambers, None)]

    def _here(self) -> list[Join]:
        gone = {j.pk for j in self.left_out}
        return [j for j in self.joins if j.pk not in gone]

    def _by_mass(self) -> Share:
        bodies: list[Cast | Piece] = [p for p in self.pieces if p.kind != SPRUE] if self.pieces else [self.cast]
        sprue = [w for p in self.pieces if p.kind == SPRUE and (w := weighed(p))]
        poured = [_poured(p) for p in self.pours if p.mass_g is not None]
        if len(poured) < len(self.pours):
            poured = []
        back = [Weighed(p.recovered_g) for p in self.pours if p.recovered_g]
        here = [weighed(b) for b in bodies] + [w for c in self.crumbs if (w := weighed(c))]
        return by_mass(poured, [*sprue, *back], here)


def weighed(body: Cast | Piece | CrumbLot) -> Weighed | None:
    """The mass that stands of a body, if any."""
    return None if body.mass_g is None else Weighed(body.mass_g, body.mass_u_g, body.mass_state)


def _poured(pour: Pour) -> Weighed:
    mass_g = pour.mass_g or Decimal(0)
    dry_g = dry_of_plaster(mass_g) if "plaster" in pour.material.lower() else mass_g
    return Weighed(dry_g, dry_g * _ROUGH)


def whole_of(reader: Actor, cast: Cast) -> Whole:
    """Everything that is computed of a cast's pieces: six queries."""
    pieces = visible_to(reader, Piece.objects.select_related("lift").filter(cast=cast, present=True))
    rows = list(pieces.order_by("sort"))
    for piece in rows:
        piece.cast = cast
    standing = Join.objects.select_related("face_a__piece", "face_b__piece").filter(cast=cast, state__in=STANDING)
    joins = list(visible_to(reader, standing).order_by("pk"))
    for join in joins:
        join.face_a.piece.cast = join.face_b.piece.cast = cast
    faces = BreakFace.objects.filter(piece__cast=cast, piece__present=True, divided=False)
    return Whole(
        cast,
        rows,
        joins,
        list(visible_to(reader, faces).values_list("piece_id", "natural_end")),
        list(visible_to(reader, CrumbLot.objects.filter(cast=cast, mass_g__isnull=False))),
        _pours(cast),
    )


def _pours(cast: Cast) -> list[Pour]:
    """What was poured for this cast: known only where one cast alone came of the excavation."""
    if cast.excavation_id is None or cast.original_id is not None:
        return []
    if Cast.objects.filter(excavation=cast.excavation_id, original__isnull=True).count() != 1:
        return []
    return list(Pour.objects.filter(excavation=cast.excavation_id).order_by("n"))
