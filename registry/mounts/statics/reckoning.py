"""The load on each support of one mount, from what is on it. Static only; whoever hangs or stands it asks an engineer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from registry.mounts.statics.bodies import Part, Point, centre_of_mass, weight_n
from registry.mounts.statics.margin import Verdict, use_of, verdict_of
from registry.mounts.statics.sharing import Shared, share
from registry.mounts.statics.special import FLAT_DEG, bracket, tension_n
from registry.mounts.statics.tipping import PUSH_AT_MM, Tipping, tipping

Holding = Literal["standing", "hanging", "bracket"]
NO_LOAD = "No load is known: weigh the pieces first."
NEAR_MM, BESIDE_MM = 20, 20


@dataclass(frozen=True)
class Carrier:
    """One support: where it is in mm, what it may bear in newtons and with which safety; a wire's angle where it runs aslant."""

    name: str
    x_mm: Decimal
    y_mm: Decimal
    z_mm: Decimal | None = None
    capacity_n: Decimal | None = None
    safety: Decimal = Decimal(2)
    angle_deg: Decimal | None = None

    @property
    def at(self) -> Point:
        return Fraction(self.x_mm), Fraction(self.y_mm)


@dataclass(frozen=True)
class Carrying:
    """What one support carries: `even_n` if all sit equally (None where no sharing can be told), `worst_n` the most it may get."""

    name: str
    even_n: float | None
    worst_n: float | None
    use: float | None
    verdict: Verdict


@dataclass(frozen=True)
class Reckoned:
    """Loads of all supports. `no_answer`: why there are none; `notes`: what the figures do not say by themselves."""

    mass_g: Decimal = Decimal(0)
    weight_n: float = 0
    centre_mm: tuple[float, float, float | None] | None = None
    supports: list[Carrying] = field(default_factory=list)
    no_answer: str = ""
    tips: bool = False
    tipping: Tipping | None = None
    notes: list[str] = field(default_factory=list)

    @property
    def over(self) -> list[str]:
        """Names of supports that may get more than they may bear."""
        return [s.name for s in self.supports if s.verdict == "over-loaded"]


def reckon(
    parts: Sequence[Part],
    carriers: Sequence[Carrier],
    *,
    holding: Holding = "standing",
    both_ways: bool = False,
    dynamic: Decimal = Decimal(1),
) -> Reckoned:
    """Loads on every support. Parts without a place count with their whole weight on each of them."""
    mass = sum((p.mass_g for p in parts), Decimal(0))
    if not carriers:
        return Reckoned(mass, no_answer="No support is on record yet. Write where each of them is.")
    if mass <= 0:
        return Reckoned(mass, no_answer=NO_LOAD)
    placed, free = [p for p in parts if p.placed], [p for p in parts if not p.placed]
    extra = float(weight_n(sum((p.mass_g for p in free), Decimal(0))))
    centre = centre_of_mass(placed) if sum(p.mass_g for p in placed) > 0 else None
    told = _Told(parts, placed, carriers, holding, both_ways, float(dynamic), extra, centre)
    return told.answer(mass)


@dataclass(frozen=True)
class _Told:
    """What one reckoning stands on."""

    parts: Sequence[Part]
    placed: Sequence[Part]
    carriers: Sequence[Carrier]
    holding: Holding
    both_ways: bool
    dynamic: float
    extra_n: float
    centre: tuple[Fraction, Fraction, Fraction | None] | None

    def answer(self, mass: Decimal) -> Reckoned:
        weight = float(weight_n(mass))
        notes = self._notes_before()
        if self.centre is None:
            rows = [self._carrying(c, None, self._aslant(c, self.extra_n)) for c in self.carriers]
            return Reckoned(mass, weight, None, rows, notes=notes)
        try:
            shared = self._shared()
        except ValueError as error:
            return Reckoned(mass, weight, no_answer=str(error), notes=notes)
        notes += self._notes_after(shared)
        worst: Sequence[Fraction | None] = shared.worst or [None] * len(self.carriers)
        rows = [self._row(c, e, w) for c, e, w in zip(self.carriers, shared.even, worst, strict=True)]
        x, y, z = self.centre
        centre = float(x), float(y), None if z is None else float(z)
        return Reckoned(mass, weight, centre, rows, "", shared.tips, self._tipping(weight), notes)

    def _shared(self) -> Shared:
        assert self.centre is not None
        x, y, _ = self.centre
        weight = weight_n(sum((p.mass_g for p in self.placed), Decimal(0)))
        if self.holding != "bracket":
            return share(weight, (x, y), [c.at for c in self.carriers], both_ways=self.both_ways)
        if any(c.z_mm is None for c in self.carriers):
            raise ValueError("Of a bracket the height of every fixing is wanted. Write it with each support.")
        wall = sum(float(c.y_mm) for c in self.carriers) / len(self.carriers)
        fixings = bracket(float(weight), abs(float(y) - wall), [float(c.z_mm or 0) for c in self.carriers])
        loads = [Fraction(f.both_n) for f in fixings]
        return Shared(loads, loads, True)

    def _row(self, carrier: Carrier, even: Fraction, worst: Fraction | None) -> Carrying:
        shown = None if self.extra_n else self._aslant(carrier, float(even))
        return self._carrying(
            carrier, shown, None if worst is None else self._aslant(carrier, float(worst) + self.extra_n)
        )

    def _aslant(self, carrier: Carrier, upright_n: float) -> float:
        if self.holding != "hanging" or carrier.angle_deg is None:
            return upright_n
        return tension_n(upright_n, float(carrier.angle_deg))

    def _carrying(self, carrier: Carrier, even: float | None, worst: float | None) -> Carrying:
        if worst is None:
            return Carrying(carrier.name, even, None, None, "no verdict")
        known = carrier.capacity_n is not None and carrier.capacity_n > 0
        use = use_of(worst, float(carrier.capacity_n or 1), float(carrier.safety), self.dynamic) if known else None
        return Carrying(carrier.name, even, worst, use, verdict_of(use))

    def _tipping(self, weight: float) -> Tipping | None:
        if self.holding != "standing" or self.both_ways or self.centre is None or len(self.carriers) < 3:
            return None
        x, y, z = self.centre
        if z is None or z <= 0 or self.extra_n:
            return None
        return tipping(weight, (x, y), float(z), [c.at for c in self.carriers], PUSH_AT_MM)

    def _notes_before(self) -> list[str]:
        notes = []
        free = [p.name for p in self.parts if not p.placed]
        if free:
            named = ", ".join(free[:5]) + (" and others" if len(free) > 5 else "")
            notes.append(f"Nobody measured where the middle of {named} is: its whole weight counts on every support.")
        if any(c.angle_deg is not None and c.angle_deg < FLAT_DEG for c in self.carriers):
            notes.append("A wire runs flatter than 45 degrees from the horizontal: it pulls much more than it lifts.")
        return notes

    def _notes_after(self, shared: Shared) -> list[str]:
        notes = []
        if shared.tips:
            notes.append("The centre of mass is not over the supports: it tips, or something else holds it.")
        elif shared.worst is None:
            notes.append("It is held both ways by more supports than statics can tell apart. An engineer reckons it.")
        if not shared.determined and shared.worst is not None:
            notes.append("Statics alone does not say how these supports share it. The worst case counts.")
        if shared.beside_mm > BESIDE_MM:
            notes.append(f"The centre of mass lies {shared.beside_mm:.0f} mm beside the row of supports.")
        if len(self.carriers) > 1 and _nearest(self.carriers) < NEAR_MM:
            notes.append("Two supports are less than 20 mm apart: a small error of place changes their loads much.")
        return notes


def _nearest(carriers: Sequence[Carrier]) -> float:
    spots = [(float(c.x_mm), float(c.y_mm), float(c.z_mm or 0)) for c in carriers]
    pairs = ((a, b) for n, a in enumerate(spots) for b in spots[n + 1 :])
    return min(sum((p - q) ** 2 for p, q in zip(a, b, strict=True)) ** 0.5 for a, b in pairs)
