"""The loads on the supports of mounts, from the masses that are on record. The number of queries does not grow with them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from catalog.casts.models import Piece
from catalog.ground import say
from registry.mounts.models import Mount, Mounted, Support
from registry.mounts.statics import Carrier, Part, Reckoned, reckon
from registry.mounts.statics.margin import SAFETY_HANGING, SAFETY_STANDING
from registry.mounts.statics.reckoning import NO_LOAD

# more than this share of the pieces not weighed, and no load is said
MOST_UNKNOWN = Decimal("0.05")


@dataclass
class Loaded:
    """A mount's loads as it stands; `without`: the same without the supports that failed, or that were asked away."""

    now: Reckoned
    without: Reckoned | None = None
    left_out: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def shown(self) -> Reckoned:
        return self.without or self.now


@dataclass
class _Body:
    """One thing that is on a mount, weighed as far as it is."""

    row: Mounted
    mass_g: Decimal | None
    notes: list[str]


def load_of(mount: Any, *, leave_out: Iterable[str] = ()) -> Loaded:
    return loads_of([mount], leave_out=leave_out)[mount.pk]


def loads_of(mounts: Iterable[Any], *, leave_out: Iterable[str] = ()) -> dict[int, Loaded]:
    """Loads by the key of the mount. `leave_out`: numbers of supports that are thought away, beside those that failed."""
    asked = list(mounts)
    on_it = {m.pk: getattr(m, "on_it", None) for m in asked}
    for m in asked:
        if on_it[m.pk] is None:
            rows = Mounted.objects.select_related("cast", "piece__cast").filter(mount=m, off_on__isnull=True)
            on_it[m.pk] = list(rows.order_by("pk"))
    bodies = _bodies([row for rows in on_it.values() for row in rows or ()])
    away = {n.lower() for n in leave_out}
    return {m.pk: _loaded(m, [bodies[row.pk] for row in on_it[m.pk] or ()], away) for m in asked}


def _loaded(mount: Any, bodies: list[_Body], away: set[str]) -> Loaded:
    standing = getattr(mount, "standing", None)
    if standing is None:
        standing = list(mount.supports.filter(gone_on__isnull=True).order_by("pk"))
    parts, notes = _parts(mount, bodies)
    unknown = [str(b.row.thing) for b in bodies if b.mass_g is None]
    if unknown:
        none = Reckoned(no_answer=f"{NO_LOAD} Not weighed: {say.listed(unknown[:5])}.")
        return Loaded(none, notes=notes)
    now = _reckon(mount, parts, standing)
    left_out = [s.number for s in standing if s.state == "fail" or s.number.lower() in away]
    without = _reckon(mount, parts, [s for s in standing if s.number not in left_out]) if left_out else None
    return Loaded(now, without, left_out, notes)


def _reckon(mount: Mount, parts: list[Part], standing: list[Support]) -> Reckoned:
    carriers = [_carrier(mount, s) for s in standing]
    if not any(p.name != mount.number for p in parts):
        return Reckoned(no_answer="Nothing is on it.")
    return reckon(
        parts,
        carriers,
        holding=mount.holding,  # type: ignore[arg-type]
        both_ways=mount.both_ways,
        dynamic=mount.dynamic,
    )


def safety_of(mount: Mount, support: Support) -> Decimal:
    """What was said, else two for what stands and five for what hangs: settings of ours, no source."""
    return support.safety or (SAFETY_STANDING if mount.holding == "standing" else SAFETY_HANGING)


def _carrier(mount: Mount, s: Support) -> Carrier:
    return Carrier(s.number, s.x_mm, s.y_mm, s.z_mm, s.capacity_n, safety_of(mount, s), s.angle_deg)


def _parts(mount: Mount, bodies: list[_Body]) -> tuple[list[Part], list[str]]:
    notes = [note for b in bodies for note in b.notes]
    parts = [Part(str(b.row.thing), b.mass_g, b.row.x_mm, b.row.y_mm, b.row.z_mm) for b in bodies if b.mass_g]
    if mount.mass_g:
        parts.append(Part(mount.number, mount.mass_g, mount.x_mm, mount.y_mm, mount.z_mm))
    else:
        notes.append("Nobody weighed the mount itself: its own mass is not in the loads.")
    return parts, notes


# masses


def _bodies(rows: list[Mounted]) -> dict[int, _Body]:
    """What each thing weighs: a cast by its pieces where it has some, a broken piece by what is left of it."""
    pieces: dict[int, list[Any]] = defaultdict(list)
    if rows:
        present = Piece.objects.filter(cast__in={r.cast_id for r in rows}, present=True)
        for pk, cast, suffix, mass_g, state in present.values_list("pk", "cast_id", "suffix", "mass_g", "mass_state"):
            pieces[cast].append((pk, suffix, mass_g, state))
    alone = {r.piece_id for r in rows if r.piece_id}
    return {r.pk: _body(r, pieces[r.cast_id], alone) for r in rows}


def _body(row: Mounted, pieces: list[Any], alone: set[int]) -> _Body:
    if row.piece is not None:
        below = f"{row.piece.suffix}."
        its_own = [p for p in pieces if p[0] == row.piece_id or p[1].startswith(below)]
    else:
        its_own = [p for p in pieces if p[0] not in alone]
    if not its_own:
        if row.piece is not None:
            return _Body(row, Decimal(0), [f"{row.thing} is no longer there: it is not in the loads."])
        return _Body(row, row.cast.mass_g, _wet(str(row.thing), row.cast.mass_state == "wet"))
    return _by_pieces(row, its_own)


def _by_pieces(row: Mounted, pieces: list[Any]) -> _Body:
    weighed = [p[2] for p in pieces if p[2] is not None]
    n_unknown, mass = len(pieces) - len(weighed), sum(weighed, Decimal(0))
    notes = _wet(str(row.thing), any(p[3] == "wet" for p in pieces))
    if not n_unknown:
        return _Body(row, mass, notes)
    if row.piece is None and row.cast.mass_g is not None:
        notes.append(f"Of {row.thing} the mass of the whole counts: {say.plural(n_unknown, 'piece')} not weighed.")
        return _Body(row, max(row.cast.mass_g, mass), notes)
    if Decimal(n_unknown) / len(pieces) > MOST_UNKNOWN:
        return _Body(row, None, notes)
    notes.append(f"{say.capital(say.plural(n_unknown, 'piece'))} of {row.thing} not weighed and not in the loads.")
    return _Body(row, mass, notes)


def _wet(what: str, wet: bool) -> list[str]:
    return [f"A wet mass of {what} is in the loads."] if wet else []
