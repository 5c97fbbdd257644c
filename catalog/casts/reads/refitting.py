"""Queries about faces and joins."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db.models import Q, QuerySet

from catalog.casts.models import BreakFace, Cast, Join, Piece
from catalog.casts.rules.pieces import STANDING, FaceFacts
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to

_WITH_PIECES = ("face_a__piece__cast", "face_b__piece__cast", "cast", "by")


def joins(reader: Actor) -> QuerySet[Join]:
    """Joins this reader may know of, with both faces, pieces and casts."""
    return visible_to(reader, Join.objects.select_related(*_WITH_PIECES))


def joins_of(reader: Actor, cast: Cast) -> QuerySet[Join]:
    """Every join ever made in a cast, the newest first."""
    return joins(reader).filter(cast=cast).order_by("-on", "-pk")


def joins_of_faces(faces: Iterable[BreakFace]) -> QuerySet[Join]:
    """Joins, standing or over, in which any of these faces is."""
    pks = [f.pk for f in faces]
    return Join.objects.select_related(*_WITH_PIECES).filter(Q(face_a__in=pks) | Q(face_b__in=pks)).order_by("pk")


def joins_of_pieces(pieces: Iterable[Piece]) -> QuerySet[Join]:
    """Joins, standing or over, of any face that these pieces bear."""
    return joins_of_faces(BreakFace.objects.filter(piece__in=list(pieces)))


def standing_join_of(face: BreakFace) -> Join | None:
    """The one join that the face is in now."""
    return joins_of_faces([face]).filter(state__in=STANDING).first()


def joined_among(rows: Iterable[BreakFace]) -> set[int]:
    """Keys of those of these faces that are in a standing join: one query."""
    pks = [f.pk for f in rows]
    ties = Join.objects.filter(Q(face_a__in=pks) | Q(face_b__in=pks), state__in=STANDING)
    return {pk for tie in ties.values_list("face_a_id", "face_b_id") for pk in tie}


def face_facts(face: BreakFace) -> FaceFacts:
    """What the rules of joining want to know of a face."""
    return FaceFacts(
        number=face.number,
        piece=face.piece_id,
        cast=face.piece.cast_id,
        present=face.piece.present,
        natural_end=face.natural_end,
        divided=face.divided,
        joined=standing_join_of(face) is not None,
    )


def faces(reader: Actor) -> QuerySet[BreakFace]:
    """Faces this reader may know of, with piece and cast."""
    return visible_to(reader, BreakFace.objects.select_related("piece__cast", "first_on__cast"))


def faces_of(reader: Actor, piece: Piece) -> list[BreakFace]:
    """Faces that the piece bears, by letter."""
    return list(faces(reader).filter(piece=piece).order_by("letter"))


def face_at(reader: Actor, text: str, field: str = "") -> BreakFace:
    """The face that `2016.1.4/a` means. Where the piece broke, the face of that letter that went on to a child. NotFound."""
    from catalog.casts.reads.casts import subject_of

    number, _, letter = text.strip().rpartition("/")
    subject = subject_of(reader, number, follow=False) if number and letter else None
    if subject is None or subject.piece is None:
        raise NotFound(f"“{text[:60]}” is no face of a piece. Write it as 2016.1.4/a.")
    if found := faces(reader).filter(piece=subject.piece, letter__iexact=letter).first():
        return found
    for face in faces(reader).filter(piece__cast=subject.cast, letter__iexact=letter):
        if _above(face.piece.suffix, subject.piece.suffix) and _above(subject.piece.suffix, face.first_on.suffix):
            return face
    raise NotFound(f"{subject.piece.number} has no face {letter[:8]}.")


def _above(lower: str, upper: str) -> bool:
    return lower == upper or lower.startswith(f"{upper}.")


def open_faces(reader: Actor, cast: Cast, standing: Iterable[Any]) -> list[BreakFace]:
    """Faces of present pieces that nothing is joined to yet, in the order of their pieces."""
    tied = {pk for j in standing for pk in (j.face_a_id, j.face_b_id)}
    rows = faces(reader).filter(piece__cast=cast, piece__present=True, natural_end=False, divided=False)
    return [f for f in rows.order_by("piece__sort", "letter") if f.pk not in tied]
