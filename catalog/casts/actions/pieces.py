"""Pieces are listed, described, weighed as crumbs; their numbers never change."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from catalog.casts.actions.casts import hold_cast
from catalog.casts.models import Cast, CrumbLot, Piece
from catalog.casts.numbers import sort_text
from catalog.casts.reads.pieces import why_gone
from catalog.casts.rules import pieces as rules
from catalog.casts.subject import Subject
from catalog.excavations.models import Lift
from catalog.ground.acting import action, locked, store, store_many
from catalog.ground.refusal import Hindered, Reason, Refusal, refuse_if
from catalog.ground.roles import Actor

DESCRIBABLE = (
    *("kind", "lift", "lift_unknown", "from_cm", "to_cm", "largest_mm"),
    *("up_mark", "compass", "shaft", "note"),
)


def suffixes_of(cast: Cast) -> list[str]:
    """Every suffix ever given in this cast."""
    return list(Piece.objects.filter(cast=cast).values_list("suffix", flat=True))


def hold_piece(pk: int, expected_version: int | None = None) -> Piece:
    """The piece and its cast, locked until the act ends: the cast first, so that two who write never wait crosswise."""
    cast_pk = Piece.objects.filter(pk=pk).values_list("cast_id", flat=True).first()
    cast = hold_cast(cast_pk or 0)
    piece = locked(Piece, expected_version, pk=pk)
    piece.cast = cast
    return piece


def hold_subject(subject: Subject) -> Subject:
    """The same subject, locked: the cast always, the piece where there is one."""
    if subject.piece is None:
        return Subject(hold_cast(subject.cast.pk))
    piece = hold_piece(subject.piece.pk)
    return Subject(piece.cast, piece)


def refuse_gone(piece: Piece) -> None:
    """Nothing is done with a piece that is no longer there; says what to turn to."""
    if not piece.present:
        raise Hindered(Reason(why_gone(piece), remedy=piece.href))


@action("tray.enter")
def add_pieces(actor: Actor, cast: Cast, pieces: Iterable[Mapping[str, Any]]) -> list[Piece]:
    """Lists pieces of a held cast: `suffix` (empty: the next), `kind`, `mass_g`, `mass_state`, `from_cm`, `to_cm`, `lift`, `note`."""
    there = list(Piece.objects.filter(cast=cast).values_list("suffix", flat=True))
    free = max((int(s) for s in there if s.isdigit()), default=0)
    said = []
    for one in pieces:
        facts = dict(one)
        if not facts.get("suffix"):
            free += 1
            facts["suffix"] = str(free)
        said.append(facts)
    refuse_if(rules.hinders_pieces([s["suffix"] for s in said], there=there), Refusal)
    return store_many([Piece(cast=cast, sort=sort_text(s["suffix"]), **s) for s in said])


@action("piece.write")
def describe_piece(actor: Actor, pk: int, changes: Mapping[str, Any], *, expected_version: int | None = None) -> Piece:
    """Changes what is said of a piece; its mass is set by weighing."""
    piece = hold_piece(pk, expected_version)
    refuse_if(rules.hinders_describing(changes, known=DESCRIBABLE), Refusal)
    for name, value in changes.items():
        setattr(piece, name, value)
    refuse_if(rules.hinders_depth(piece.from_cm, piece.to_cm), Refusal)
    return store(piece)


@action("tray.enter")
def keep_crumbs(
    actor: Actor,
    subject: Subject,
    *,
    mass_g: Decimal | None,
    u_g: Decimal | None = None,
    state: str = "",
    n: int | None = None,
    lift: Lift | None = None,
    note: str = "",
) -> CrumbLot:
    """A lot of crumbs of a cast, or of the piece they broke from: weighed, and counted where `n` is given."""
    held = hold_subject(subject)
    refuse_if(rules.hinders_crumbs(mass_g, n), Refusal)
    lot = CrumbLot(cast=held.cast, piece=held.piece, lift=lift, n=n, note=note)
    lot.mass_g, lot.mass_u_g, lot.mass_state = mass_g, u_g, state
    return store(lot)
