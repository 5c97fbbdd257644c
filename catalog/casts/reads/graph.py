"""The facts of the picture of a cast by depth: its pieces, what holds them, what may be tried. Three queries."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable

from catalog.casts.graph_picture import Body, Picture, Tie, picture
from catalog.casts.models import BreakFace, Cast, Join, Piece
from catalog.casts.reads.fits import Suggestion, depth_cm
from catalog.casts.rules.pieces import STANDING
from catalog.casts.sections import sections
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to

MOST_SUGGESTED = 5


def graph_of(
    reader: Actor,
    cast: Cast,
    *,
    suggested: Iterable[Suggestion] = (),
    section: str = "",
    away: Collection[int] = (),
) -> Picture | None:
    """The picture of a cast's pieces, or of the section in which the piece of the suffix `section` is; None without pieces.

    `away` holds the keys of pieces that are lent; of `suggested` the first few are drawn. Undone joins are not drawn.
    """
    rows = Piece.objects.select_related("lift").filter(cast=cast, present=True).order_by("sort")
    pieces = list(visible_to(reader, rows))
    ties = _ties(reader, cast)
    of = _sections(pieces, ties)
    if section:
        chosen = next((of[p.pk] for p in pieces if p.suffix == section), None)
        pieces = [p for p in pieces if of[p.pk] == chosen]
    ends = _natural_ends(reader, cast)
    held = {pk for tie in ties if tie.state in STANDING for pk in (tie.one, tie.other)}
    bodies = [_body(cast, p, of[p.pk], p.pk in held, p.pk in away, ends[p.pk]) for p in pieces]
    tries = [Tie(s.face.piece_id, s.other.piece_id, "suggested", n) for n, s in enumerate(suggested, 1)]
    return picture(bodies, [*ties, *tries[:MOST_SUGGESTED]])


def _ties(reader: Actor, cast: Cast) -> list[Tie]:
    rows = visible_to(reader, Join.objects.filter(cast=cast).exclude(state="undone")).order_by("pk")
    return [Tie(a, b, state) for a, b, state in rows.values_list("face_a__piece", "face_b__piece", "state")]


def _sections(pieces: list[Piece], ties: list[Tie]) -> dict[int, int]:
    """The section of each piece by key: fixed joins and dry fits hold alike in the drawing."""
    groups = sections([p.pk for p in pieces], [(t.one, t.other) for t in ties if t.state in STANDING])
    return {pk: n for n, group in enumerate(groups, 1) for pk in group}


def _natural_ends(reader: Actor, cast: Cast) -> Counter[int]:
    rows = BreakFace.objects.filter(piece__cast=cast, natural_end=True, divided=False)
    return Counter(visible_to(reader, rows).values_list("piece", flat=True))


def _body(cast: Cast, piece: Piece, section: int, held: bool, away: bool, ends: int) -> Body:
    top, bottom = depth_cm(piece)
    return Body(
        id=piece.pk,
        label=piece.suffix,
        state=_state(piece, held, away),
        section=section,
        href=f"{cast.href}{piece.suffix}/",
        top_cm=top,
        bottom_cm=bottom,
        mass_g=float(piece.mass_g) if piece.mass_g is not None else None,
        natural_ends=ends,
    )


def _state(piece: Piece, held: bool, away: bool) -> str:
    """One state a piece: what keeps it from the bench before what is done on it."""
    if piece.missing_since:
        return "missing"
    if away:
        return "lent"
    if piece.mass_g is None:
        return "not weighed"
    return "joined" if held else "loose"
