"""Random breakings, damages, joins, undoings and takings back: no gram, piece or join is lost."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal as D
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from catalog.casts.actions import (
    Part,
    add_face,
    break_joins,
    break_piece,
    change_join,
    damage_body,
    divide_face,
    join_faces,
    place_face,
    take_back_breaking,
)
from catalog.casts.models import BreakFace, CrumbLot, Join, Piece
from catalog.casts.reads.refitting import face_at
from catalog.casts.reads.wholes import whole_of
from catalog.casts.subject import Subject
from catalog.ground.refusal import Refusal
from tests import builders

U = D("0.1")
SHARES = st.lists(st.integers(1, 9), min_size=2, max_size=4)
PICK = st.integers(0, 10_000)


def refused(deed: Callable[[], object]) -> str:
    """What was said against it; empty where it was done."""
    try:
        deed()
    except Refusal as refusal:
        return str(refusal)
    return ""


class Bench(RuleBasedStateMachine):
    """One cast at the bench. `gone` is what was said to be lost or stays unexplained, by the piece it is gone from."""

    @initialize()
    def a_cast_comes(self) -> None:
        self.saar = builders.saar()
        number = f"2016.{Piece.objects.count() + 1}"
        self.cast = builders.cast(number, mass_g=None)
        self.whole = D(0)
        for n in range(1, 4):
            mass = D(100 * n)
            piece = builders.piece(self.cast, str(n), mass_g=mass, mass_u_g=U, mass_state="constant")
            self.whole += mass
            add_face(self.saar, piece)
            add_face(self.saar, piece)
        self.gone: list[tuple[int, D, bool]] = []
        self.leaves = 3
        self.over: set[int] = set()

    def _present(self) -> list[Piece]:
        return list(Piece.objects.select_related("cast").filter(cast=self.cast, present=True).order_by("pk"))

    def _one(self, pick: int) -> Piece:
        rows = self._present()
        return rows[pick % len(rows)]

    @rule(
        pick=PICK, shares=SHARES, lack=st.integers(0, 3), stated=st.booleans(), fit=st.booleans(), carry=st.booleans()
    )
    def a_piece_breaks(self, pick: int, shares: list[int], lack: int, stated: bool, fit: bool, carry: bool) -> None:
        piece = self._one(pick)
        mass = piece.mass_g or D(0)
        rest = mass - lack
        if rest <= len(shares):
            return
        parts = [(rest * n / sum(shares)).quantize(D("0.1")) for n in shares]
        parts[-1] += rest - sum(parts)
        crumb = parts.pop() if len(parts) > 2 else None
        if min(parts) <= 0 or (crumb is not None and crumb <= 0):
            return
        faces = [f.letter for f in BreakFace.objects.filter(piece=piece)] if carry else []
        found = break_piece(
            self.saar,
            Subject(self.cast, piece),
            [Part(p, U) for p in parts],
            crumbs=Part(crumb, U) if crumb else None,
            lost_g=D(lack) if stated else None,
            faces_to={letter: n % len(parts) for n, letter in enumerate(faces)},
            fits=[(0, 1)] if fit else [],
        )
        difference = found.balance.difference_g or D(0)
        assert difference == (0 if stated else lack)
        self.gone.append((piece.pk, difference + (lack if stated else 0), True))
        self.leaves += len(parts) - 1

    @rule(pick=PICK, chip=st.integers(1, 5))
    def a_corner_is_lost(self, pick: int, chip: int) -> None:
        piece = self._one(pick)
        if (piece.mass_g or 0) <= chip + 1:
            return
        after = Part((piece.mass_g or D(0)) - chip, U)
        found = damage_body(self.saar, Subject(self.cast, piece), mass_after=after, crumbs=Part(D(1), U))
        assert found.balance.difference_g == chip - 1
        self.gone.append((piece.pk, D(chip - 1), False))

    @rule(one=PICK, other=PICK, fixed=st.booleans())
    def two_faces_are_joined(self, one: int, other: int, fixed: bool) -> None:
        faces = list(BreakFace.objects.select_related("piece__cast").filter(piece__cast=self.cast).order_by("pk"))
        a, b = faces[one % len(faces)], faces[other % len(faces)]
        state, adhesive = ("fixed", "resin") if fixed else ("dry fit", "")
        try:
            join_faces(self.saar, a, b, state=state, adhesive=adhesive)
        except Refusal:
            assert self._no_join(a, b)
        else:
            assert not self._no_join(a, b, joined=False)

    def _no_join(self, a: BreakFace, b: BreakFace, *, joined: bool = True) -> bool:
        """Whether the two may not be joined, told from the rows themselves."""
        closed = any(not f.piece.present or f.natural_end or f.divided for f in (a, b))
        return closed or a.piece_id == b.piece_id or (joined and bool({a.pk, b.pk} & self._tied()))

    def _tied(self) -> set[int]:
        rows = Join.objects.filter(cast=self.cast, state__in=["dry fit", "fixed"])
        return {pk for pair in rows.values_list("face_a", "face_b") for pk in pair}

    @precondition(lambda self: self._tied())
    @rule(pick=PICK, how=st.sampled_from(["undone", "failed", "fixed"]))
    def a_join_changes(self, pick: int, how: str) -> None:
        rows = list(Join.objects.filter(cast=self.cast, state__in=["dry fit", "fixed"]).order_by("pk"))
        join = rows[pick % len(rows)]
        if how == "failed":
            break_joins(self.saar, [join])
        else:
            try:
                change_join(self.saar, join.pk, how, adhesive="resin" if how == "fixed" else "")
            except Refusal:  # nobody has said yet which part carries its face: that comes first
                assert not all(f.piece.present for f in (join.face_a, join.face_b))
                return
        if how != "fixed":
            self.over.add(join.pk)

    @rule(pick=PICK)
    def a_face_is_divided(self, pick: int) -> None:
        faces = list(BreakFace.objects.filter(piece__cast=self.cast, piece__present=True, divided=False).order_by("pk"))
        if faces:
            divide_face(self.saar, faces[pick % len(faces)].pk)

    @rule(pick=PICK)
    def a_face_left_behind_is_placed(self, pick: int) -> None:
        left = BreakFace.objects.filter(
            piece__cast=self.cast, piece__present=False, piece__struck_off="", divided=False
        )
        face = left.order_by("pk").first()
        parts = [p for p in self._present() if face and p.suffix.startswith(f"{face.piece.suffix}.")]
        if face and parts:
            pk, part = face.pk, parts[pick % len(parts)]
            said = refused(lambda: place_face(self.saar, pk, part))
            assert not said or "itself" in said or "letter already" in said

    @rule(pick=PICK)
    def a_breakage_is_taken_back(self, pick: int) -> None:
        broke = list(Piece.objects.filter(cast=self.cast, present=False, struck_off="").order_by("pk"))
        if not broke:
            return
        piece = broke[pick % len(broke)]
        n_children = piece.children.filter(struck_off="").count()
        lots = CrumbLot.objects.filter(piece__in=piece.children.all()).exists()
        damaged = any(pk in set(piece.children.values_list("pk", flat=True)) for pk, _, _ in self.gone)
        if lots or damaged:
            return  # what was built on it by other rooms is theirs to say
        before = set(Join.objects.filter(cast=self.cast).exclude(state="undone").values_list("pk", flat=True))
        if said := refused(lambda: take_back_breaking(self.saar, Subject(self.cast, piece))):
            assert "joined" in said or "no longer whole" in said
            return
        last = max(i for i, (pk, _, broken) in enumerate(self.gone) if pk == piece.pk and broken)
        self.gone.pop(last)
        self.leaves -= n_children - 1
        still = set(Join.objects.filter(cast=self.cast).exclude(state="undone").values_list("pk", flat=True))
        self.over |= before - still

    @invariant()
    def mass_is_here_or_on_record(self) -> None:
        here = sum((p.mass_g or D(0) for p in self._present()), D(0))
        crumbs = sum((c.mass_g or D(0) for c in CrumbLot.objects.filter(cast=self.cast)), D(0))
        assert here + crumbs + sum((g for _, g, _ in self.gone), D(0)) == self.whole

    @invariant()
    def what_exists_are_the_leaves(self) -> None:
        rows: list[Any] = list(Piece.objects.filter(cast=self.cast))
        parents = {p.parent_id for p in rows if not p.struck_off}
        leaves = {p.pk for p in rows if not p.struck_off and p.pk not in parents}
        assert leaves == {p.pk for p in rows if p.present}
        assert len(leaves) == self.leaves

    @invariant()
    def no_face_is_in_two_joins(self) -> None:
        rows = Join.objects.filter(cast=self.cast, state__in=["dry fit", "fixed"])
        tied = [pk for pair in rows.values_list("face_a", "face_b") for pk in pair]
        assert len(tied) == len(set(tied))

    @invariant()
    def what_is_over_stays_on_record(self) -> None:
        assert (
            set(Join.objects.filter(pk__in=self.over, state__in=["undone", "failed"]).values_list("pk", flat=True))
            == self.over
        )

    @invariant()
    def sections_share_out_the_pieces(self) -> None:
        whole = whole_of(self.saar, self.cast)
        for groups in (whole.sections, whole.laid_together):
            assert sorted(p.pk for g in groups for p in g) == sorted(p.pk for p in whole.pieces)

    @invariant()
    def every_face_is_found_by_the_number_it_was_first_seen_under(self) -> None:
        for face in BreakFace.objects.select_related("first_on__cast").filter(piece__cast=self.cast):
            assert face_at(self.saar, f"{face.first_on.number}/{face.letter}").pk == face.pk


class TestNothingIsLost(Bench.TestCase, TestCase):  # type: ignore[misc, name-defined]
    settings = settings(max_examples=12, stateful_step_count=14, deadline=None, suppress_health_check=list(HealthCheck))
