"""Which open faces of a cast may fit each other: facts from the record, ranked by the rules of refitting. Five queries."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from django.db.models import Exists, OuterRef, Q, QuerySet

from catalog.casts.models import BreakFace, Cast, Join, Piece, RefusedFit
from catalog.casts.refitting import Face, Fit, suggested_fits, usual_sizes
from catalog.casts.rules.pieces import STANDING
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to

# a calliper on a crumbling edge: five per cent, and the step it is read to (common practice, no source)
SIZE_SHARE, SIZE_STEP_MM = 0.05, 0.3
MOST_FOR_USUAL = 2000
# kinds of pieces that do not touch each other; of all others the kind of the piece says nothing about its faces
TELLING_KINDS = ("chamber", "sprue")


@dataclass(frozen=True)
class Suggestion:
    """Two open faces of a cast that may fit, seen from `face`, with rank, chance and reason."""

    face: BreakFace
    other: BreakFace
    fit: Fit


@dataclass(frozen=True)
class Suggestions:
    """`by_face`: for each open face, in the order of the pieces, its best, best first. `rough`: sizes of all casts were used."""

    faces: list[BreakFace]
    by_face: dict[int, list[Suggestion]]
    rough: bool

    @property
    def pairs(self) -> list[Suggestion]:
        """What to try next: each pair once, the likeliest from both sides first, and first those that name each face once."""
        chance = {(s.face.pk, s.other.pk): s.fit.chance for row in self.by_face.values() for s in row}
        once = [
            s
            for row in self.by_face.values()
            for s in row
            if s.face.pk < s.other.pk or (s.other.pk, s.face.pk) not in chance
        ]
        once.sort(key=lambda s: (-_both(chance, s), s.face.pk, s.other.pk))
        named: set[int] = set()
        first: list[Suggestion] = []
        again: list[Suggestion] = []
        for s in once:
            (again if named & {s.face.pk, s.other.pk} else first).append(s)
            named |= {s.face.pk, s.other.pk}
        return first + again


def _both(chance: dict[tuple[int, int], float], s: Suggestion) -> float:
    there, back = (s.face.pk, s.other.pk), (s.other.pk, s.face.pk)
    return chance[there] * chance.get(back, 0.01)


def faces_to_fit(reader: Actor, cast: Cast) -> QuerySet[BreakFace]:
    """Open faces of pieces that are here: in no standing join, not divided, no natural end, not missing."""
    standing = Join.objects.filter(Q(face_a=OuterRef("pk")) | Q(face_b=OuterRef("pk")), state__in=STANDING)
    rows = BreakFace.objects.select_related("piece__cast", "piece__lift").filter(
        ~Exists(standing),
        piece__cast=cast,
        piece__present=True,
        piece__missing_since__isnull=True,
        natural_end=False,
        divided=False,
    )
    return visible_to(reader, rows)


def refused_pairs(cast: Cast) -> set[frozenset[int]]:
    """Pairs of faces that somebody tried and that do not fit."""
    rows = RefusedFit.objects.filter(cast=cast, taken_back=False)
    return {frozenset(pair) for pair in rows.values_list("face_a", "face_b")}


def fits_of(reader: Actor, cast: Cast, *, best: int = 5) -> Suggestions:
    """The best partners for every open face of the cast. A suggestion is no proof: a person's dry fit is."""
    faces = list(faces_to_fit(reader, cast).order_by("piece__sort", "letter"))
    known = [_face(face) for face in faces]
    usual = usual_sizes([f.size_mm for f in known], _sizes_of_all)
    found = suggested_fits(known, refused=refused_pairs(cast), usual=usual, best=best)
    by_pk = {face.pk: face for face in faces}
    by_face = {face.pk: [Suggestion(face, by_pk[fit.other], fit) for fit in found[face.pk]] for face in faces}
    return Suggestions(faces, by_face, rough=not usual.own)


def _sizes_of_all() -> list[float]:
    """Sizes in the whole collection, the newest first: for a cast that has too few of its own."""
    rows = BreakFace.objects.filter(length_mm__gt=0).order_by("-pk").values_list("length_mm", flat=True)
    return [float(size) for size in rows[:MOST_FOR_USUAL] if size]


def _face(face: BreakFace) -> Face:
    piece = face.piece
    sizes = sorted(float(s) for s in (face.length_mm, face.width_mm) if s)
    size = sizes[-1] if sizes else None
    top, bottom = depth_cm(piece)
    return Face(
        id=face.pk,
        piece=piece.pk,
        size_mm=size,
        across_mm=sizes[0] if len(sizes) == 2 else None,
        u_rel=min(sqrt(SIZE_SHARE**2 + (SIZE_STEP_MM / size) ** 2), 0.5) if size else SIZE_SHARE,
        kind=piece.kind if piece.kind in TELLING_KINDS else "",
        side=face.side,
        top_cm=top,
        bottom_cm=bottom,
        shaft=(piece.shaft or (piece.lift.shaft if piece.lift else "")).strip().casefold(),
    )


def depth_cm(piece: Piece) -> tuple[float | None, float | None]:
    """Where in the ground a piece came from: its own depth, else that of its lift; None and None where neither is known."""
    for body in (piece, piece.lift):
        if body is not None and body.from_cm is not None and body.to_cm is not None:
            top, bottom = sorted((float(body.from_cm), float(body.to_cm)))
            return top, bottom
    return None, None
