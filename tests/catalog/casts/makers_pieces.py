"""Small makers for tests of pieces, faces and joins."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from catalog.casts.actions import Broken, Part, add_face, break_piece, join_faces
from catalog.casts.models import BreakFace, Cast, Join, Piece
from catalog.casts.subject import Subject
from tests import builders


def cast_in_pieces(number: str = "2016.1", n: int = 7, mass_g: str = "250.0", **more: Any) -> tuple[Cast, list[Piece]]:
    """A cast of `n` pieces of the same constant mass."""
    cast = builders.cast(number)
    facts = {"mass_g": Decimal(mass_g), "mass_u_g": Decimal("0.1"), "mass_state": "constant", "kind": "tunnel"}
    return cast, [builders.piece(cast, str(i + 1), **(facts | more)) for i in range(n)]


def face(piece: Piece, letter: str = "") -> BreakFace:
    return add_face(builders.ottilie(), piece, letter=letter)


def joined(a: BreakFace, b: BreakFace, state: str = "fixed") -> Join:
    adhesive = "reversible acrylic resin" if state == "fixed" else ""
    return join_faces(builders.ottilie(), a, b, state=state, adhesive=adhesive)


def broken(piece: Piece, *masses: str, **more: Any) -> Broken:
    """The piece breaks into parts of these masses."""
    parts = [Part(Decimal(m), Decimal("0.1")) for m in masses]
    return break_piece(builders.saar(), Subject(piece.cast, piece), parts, **more)
