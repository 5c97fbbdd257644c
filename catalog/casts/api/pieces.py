"""Pieces as the API reads and writes them."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet

from catalog.casts import reads
from catalog.casts.filters import PieceFilter
from catalog.casts.models import Piece
from catalog.ground.api import Resource
from catalog.ground.ids import as_uid
from catalog.ground.roles import Actor


class Pieces(Resource):
    """Pieces of casts, each at its own flat address."""

    sorts = {"number": "sort", "mass_g": "mass_g", "id": "id"}
    sort = "id"
    filterset_class = PieceFilter
    queryset = Piece.objects.none()

    def rows(self, reader: Actor) -> QuerySet[Any]:
        return Piece.objects.select_related("cast", "lift", "lift__excavation", "parent__cast")

    def find_one(self, rows: QuerySet[Any], number: str) -> Any:
        if as_uid(number):
            return rows.filter(uid=as_uid(number)).first()
        found = reads.subject_of(self.actor, number)
        return rows.filter(pk=found.piece.pk).first() if found.piece else None

    def show(self, record: Any) -> dict[str, Any]:
        names = (
            "suffix",
            "present",
            "kind",
            "from_cm",
            "to_cm",
            "mass_g",
            "mass_u_g",
            "mass_state",
            "largest_mm",
            "note",
            "version",
        )
        return {
            "uid": str(record.uid),
            "number": record.number,
            "cast": record.cast.number,
            "parent": record.parent.number if record.parent else None,
            "lift": str(record.lift) if record.lift else None,
            **{n: getattr(record, n) for n in names},
        }


class PiecesOfCast(Pieces):
    """The pieces of one cast."""

    sort = "number"

    def get_queryset(self) -> QuerySet[Any]:
        cast = reads.cast_at(self.actor, self.kwargs["number"])
        return super().get_queryset().filter(cast=cast)
