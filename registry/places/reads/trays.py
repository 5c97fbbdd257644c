"""Trays in which pieces are listed: their rows, what they add up to, what is doubtful, what is due on the balance."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db.models import Count, Q, QuerySet
from django.utils import timezone

from catalog.casts.completeness import dry_of_plaster
from catalog.casts.models import BreakFace, Cast, Piece
from catalog.casts.reads.wholes import Whole, whole_of
from catalog.ground import say
from catalog.ground.collection import local
from catalog.ground.refusal import NotFound
from catalog.ground.roles import Actor
from catalog.ground.sight import visible_to
from catalog.measurements.models import Measurement
from catalog.measurements.reads import drying_of, weighings
from registry.places.models import Place, TrayList, TrayRow
from registry.places.tray_rows import doubt


def tray_lists(reader: Actor) -> QuerySet[TrayList]:
    """Trays with what is listed in them, newest first."""
    rows = TrayList.objects.select_related("tray", "cast", "lift__excavation", "crumbs", "begun_by")
    return visible_to(reader, rows).filter(cast__in=visible_to(reader, Cast.objects.all())).order_by("-pk")


def counted(rows: QuerySet[TrayList]) -> QuerySet[Any]:
    """Each with `n_rows` and `n_weighed`."""
    present = Q(rows__piece__present=True)
    weighed = present & Q(rows__piece__mass_g__isnull=False)
    return rows.annotate(n_rows=Count("rows", filter=present), n_weighed=Count("rows", filter=weighed))


def open_tray(reader: Actor, place: Place) -> TrayList | None:
    """What is listed in this tray: the open list, else the last one that was closed."""
    rows = tray_lists(reader).filter(tray=place)
    return rows.filter(closed_at__isnull=True).first() or rows.first()


def tray_said(reader: Actor, code: str) -> TrayList:
    """The open list of the tray of this code. NotFound otherwise."""
    found = tray_lists(reader).filter(tray__code__iexact=code.strip(), closed_at__isnull=True).first()
    if found is None:
        raise NotFound(f"Nothing is being listed in “{code[:40]}”.")
    return found


@dataclass
class Row:
    """One kept row as people read it. `mass`: the bare figure in grams. `kept`: when and with what, in words."""

    it: TrayRow
    faces: int
    newest: Measurement | None
    doubt: str = ""

    @property
    def piece(self) -> Any:
        return self.it.piece

    @property
    def mass(self) -> str:
        return _bare(self.piece.mass_g)

    @property
    def depth(self) -> str:
        ends = [_bare(self.piece.from_cm), _bare(self.piece.to_cm)]
        return ends[0] if ends[0] == ends[1] else "–".join(e for e in ends if e)

    @property
    def kept(self) -> str:
        at = self.newest.at if self.newest else self.it.created_at
        with_what = str(self.newest.instrument) if self.newest and self.newest.instrument else "typed"
        there = local(at)
        day = local(timezone.now()).date()
        hour = f"{there:%H:%M}" if there.date() == day else say.day_short(there.date(), day)
        who = f", {self.it.by.name.split(' ')[0]}" if self.it.by else ""
        return f"{hour} {with_what if self.newest else 'not weighed'}{who}"

    @property
    def cells(self) -> dict[str, str]:
        """What a row says, as it would be typed."""
        p = self.piece
        up = {True: "yes", False: "no", None: ""}[p.up_mark]
        return {
            "number": p.suffix,
            "mass_g": self.mass,
            "kind": p.kind,
            "depth": self.depth,
            "largest_mm": _bare(p.largest_mm),
            "faces": str(self.faces) if self.faces else "",
            "up": up,
            "side": p.compass,
            "lift_unknown": "yes" if p.lift_unknown else "",
            "note": p.note,
        }

    def told(self) -> dict[str, Any]:
        """For the script and the API."""
        return {
            "row": str(self.it.row),
            "number": self.piece.number,
            "suffix": self.piece.suffix,
            "version": self.piece.version,
            "present": self.piece.present,
            "cells": self.cells,
            "kept": self.kept,
            "by": self.it.by.name if self.it.by else None,
            "doubt": "" if self.it.settled else self.doubt,
        }


def _bare(value: Decimal | None) -> str:
    return "" if value is None else say.figure(value, spaced_from=99)


@dataclass
class Tray:
    """An open tray as its page shows it; all of its rows, each with its doubt."""

    it: TrayList
    rows: list[Row]
    whole: Whole
    poured_g: Decimal | None = None
    doubts: list[Row] = field(default_factory=list)

    @property
    def n_weighed(self) -> int:
        return sum(1 for r in self.rows if r.piece.mass_g is not None)

    @property
    def mass_g(self) -> Decimal:
        """Pieces and crumbs of this tray."""
        crumbs = (self.it.crumbs.mass_g if self.it.crumbs else None) or Decimal(0)
        return sum((r.piece.mass_g or Decimal(0) for r in self.rows), crumbs)

    @property
    def sums(self) -> dict[str, Any]:
        """What the running sum says: this tray, the whole cast, and what was poured."""
        here, off = self.whole.weighed_g or Decimal(0), self.whole.weighed_u_g or Decimal(0)
        said = f"{self.n_weighed} of {len(self.rows)} weighed, {say.mass(self.mass_g)} in this tray"
        facts = {"said": said, "share": "", "left": ""}
        if self.poured_g:
            within = f" ± {say.mass(_rounded(2 * off))}" if off else ""
            facts["share"] = f"{say.mass(here)}{within} of {say.mass(round(self.poured_g))} poured, reckoned dry"
            left = self.poured_g - here
            if left > 0:
                facts["left"] = f"{say.mass(round(left))} are not weighed yet, or not here."
        return facts | {"part": min(float(here), float(self.poured_g or 0)), "whole": float(self.poured_g or 0)}

    @property
    def next_suffix(self) -> str:
        return _next_suffix(Piece.objects.filter(cast=self.it.cast).values_list("suffix", flat=True))


def _rounded(value: Decimal) -> Decimal:
    return round(value, max(1 - value.adjusted(), 0)) if value else value


def tray_of(reader: Actor, it: TrayList) -> Tray:
    """The tray with its rows: a fixed number of queries, whatever the rows."""
    rows = TrayRow.objects.select_related("piece", "by").filter(tray_list=it).order_by("pk")
    kept = [r for r in rows if r.piece.present]
    for row in kept:
        row.piece.cast = it.cast
    whole = whole_of(reader, it.cast)
    tray = Tray(it, as_rows(kept), whole)
    tray.poured_g = poured_g(whole)
    _doubts(tray)
    return tray


def _newest(pieces: list[int]) -> dict[int, Measurement]:
    """The weighing that stands of each."""
    rows = Measurement.objects.select_related("instrument").filter(
        piece__in=pieces, quantity="mass", crumbs__isnull=True, replaced_by__isnull=True
    )
    return {m.piece_id: m for m in rows.order_by("at", "pk") if m.piece_id}


def _doubts(tray: Tray) -> None:
    masses = {r.it.pk: r.piece.mass_g for r in tray.rows if r.piece.mass_g is not None}
    for row in tray.rows:
        peers = [m for pk, m in masses.items() if pk != row.it.pk]
        row.doubt = doubt(row.piece.suffix, row.piece.mass_g, peers, tray.poured_g)
    tray.doubts = [r for r in tray.rows if r.doubt and not r.it.settled]


def poured_g(whole: Whole) -> Decimal | None:
    """What the pours of its dig would weigh set and dry, less what was recovered; None where it is not known."""
    if not whole.pours or any(p.mass_g is None for p in whole.pours):
        return None
    masses = [(p, p.mass_g or Decimal(0)) for p in whole.pours]
    dry = sum((dry_of_plaster(m) if "plaster" in p.material.lower() else m for p, m in masses), Decimal(0))
    return dry - sum((p.recovered_g or Decimal(0) for p in whole.pours), Decimal(0))


def row_at(reader: Actor, it: TrayList, pk: int) -> TrayRow:
    found = TrayRow.objects.filter(tray_list=it, pk=pk).first()
    if found is None:
        raise NotFound("There is no such row in this tray.")
    return found


def rows_since(tray: Tray, since: datetime) -> list[Row]:
    """Rows that somebody kept or changed since that instant."""
    return [r for r in tray.rows if max(r.piece.changed_at, r.it.changed_at) > since]


# drying


@dataclass(frozen=True)
class Due:
    """A piece that is due on the balance, since when, and what its weighings say."""

    piece: Any
    since: datetime
    sentence: str


def due_in(reader: Actor, it: TrayList) -> tuple[list[Due], int]:
    """Pieces of a tray that are due on the balance, longest first, and how many have reached constant mass. Two queries."""
    pieces = {r.piece_id: r.piece for r in TrayRow.objects.select_related("piece").filter(tray_list=it)}
    found: dict[int, list[Measurement]] = defaultdict(list)
    for m in weighings(reader).filter(piece__in=[pk for pk, p in pieces.items() if p.present], crumbs__isnull=True):
        found[m.piece_id or 0].append(m)
    now, due, constant = timezone.now(), [], 0
    for pk, rows in found.items():
        drying = drying_of(rows)
        constant += drying.state == "constant"
        if drying.due and drying.is_due(now):
            pieces[pk].cast = it.cast
            due.append(Due(pieces[pk], drying.due, drying.sentence))
    return sorted(due, key=lambda d: (d.since, d.piece.sort)), constant


def waiting_for_the_balance(reader: Actor, *, most: int) -> list[tuple[TrayList, int, datetime]]:
    """Open trays with pieces due on the balance: how many, and since when."""
    found: list[tuple[TrayList, int, datetime]] = []
    drying = Q(rows__piece__present=True, rows__piece__mass_state__in=["wet", "air dry"])
    rows = tray_lists(reader).filter(closed_at__isnull=True).annotate(n_drying=Count("rows", filter=drying))
    for it in rows.filter(n_drying__gt=0)[:most]:
        due, _ = due_in(reader, it)
        if due:
            found.append((it, len(due), due[0].since))
    return found


def tray_rows(reader: Actor) -> QuerySet[TrayRow]:
    """Rows of all trays, each with what it is of."""
    rows = TrayRow.objects.select_related("piece__cast", "tray_list__tray", "tray_list__cast", "by")
    return visible_to(reader, rows).filter(tray_list__cast__in=visible_to(reader, Cast.objects.all()))


def as_rows(kept: list[TrayRow]) -> list[Row]:
    """These rows with their faces and weighings: two queries, whatever their number. Their doubts are not reckoned."""
    pieces = [r.piece_id for r in kept]
    n = dict(
        BreakFace.objects.filter(piece__in=pieces, divided=False)
        .values_list("piece")
        .annotate(n=Count("pk"))
        .values_list("piece", "n")
    )
    newest = _newest(pieces)
    return [Row(r, n.get(r.piece_id, 0), newest.get(r.piece_id)) for r in kept]


def changed_since(it: TrayList, since: datetime) -> bool:
    """Whether anybody kept or changed a row since that instant."""
    rows = TrayRow.objects.filter(tray_list=it)
    return rows.filter(Q(changed_at__gt=since) | Q(piece__changed_at__gt=since)).exists()


def just_kept(it: TrayList, kept: TrayRow) -> tuple[Row, str]:
    """One row as it stands, doubted beside its peers alone, and the number that comes next: four queries, in the act itself."""
    row = as_rows([kept])[0]
    peers = TrayRow.objects.filter(tray_list=it, piece__present=True, piece__mass_g__isnull=False).exclude(pk=kept.pk)
    row.doubt = doubt(row.piece.suffix, row.piece.mass_g, list(peers.values_list("piece__mass_g", flat=True)), None)
    return row, _next_suffix(Piece.objects.filter(cast=it.cast).values_list("suffix", flat=True))


def _next_suffix(suffixes: Iterable[str]) -> str:
    return str(max((int(s) for s in suffixes if s.isdigit()), default=0) + 1)
