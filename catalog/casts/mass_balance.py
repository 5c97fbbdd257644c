"""What broke against what came of it: do the masses add up within the balances' uncertainty. Pure.

Normalised error E_n = difference / sqrt(U_parent^2 + U_sum^2), with expanded uncertainties U = 2 u (ISO 13528, ISO/IEC
17043, from memory; definition as on the NIST Dataplot page "ISO 13528 EN SCORE"). |E_n| <= 1 adds up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalog.ground import say

ADDS_UP, UNEXPLAINED, NO_VERDICT = "adds up", "unexplained", "no verdict yet"


@dataclass(frozen=True)
class Weighed:
    """A mass with its standard uncertainty (None: none on record) and the state it was weighed in (empty: not said)."""

    mass_g: Decimal
    u_g: Decimal | None = None
    state: str = ""


@dataclass(frozen=True)
class Balance:
    """`difference_g`: before less after, with its standard uncertainty `u_g`; None where something was not weighed."""

    difference_g: Decimal | None
    u_g: Decimal | None
    e_n: Decimal | None
    verdict: str
    sentence: str

    @property
    def unexplained_g(self) -> Decimal | None:
        """What stays on the record as unexplained: None where it adds up or nobody can say yet."""
        return self.difference_g if self.verdict == UNEXPLAINED else None


def width_g(one: Weighed) -> Decimal:
    """Its standard uncertainty; without one on record one in the last figure written, at most 1 g: wide on purpose."""
    if one.u_g is not None:
        return one.u_g
    exponent = one.mass_g.normalize().as_tuple().exponent
    return Decimal(1).scaleb(min(exponent if isinstance(exponent, int) else 0, 0))


def balance(parent: Weighed | None, parts: Sequence[Weighed | None], *, lost_g: Decimal | None = None) -> Balance:
    """Parent against children, crumbs and stated loss. A part that is None was not weighed. ValueError: a mass below zero."""
    weighed = [p for p in parts if p is not None]
    if any(w.mass_g < 0 or (w.u_g or 0) < 0 for w in [*weighed, *([parent] if parent else [])]) or (lost_g or 0) < 0:
        raise ValueError("A mass cannot be below zero.")
    if parent is None:
        return _not_yet("It had not been weighed before it broke: nobody can say whether all of it is here.")
    if len(weighed) < len(parts):
        n = len(parts) - len(weighed)
        return _not_yet(f"{say.capital(say.plural(n, 'part'))} still to be weighed.")
    difference = parent.mass_g - sum((w.mass_g for w in weighed), lost_g or Decimal(0))
    u = sum((width_g(w) ** 2 for w in [parent, *weighed]), Decimal(0)).sqrt()
    if why := _states_differ([parent, *weighed]):
        return Balance(difference, u, None, NO_VERDICT, why)
    return _verdict(difference, u)


def _not_yet(sentence: str) -> Balance:
    return Balance(None, None, None, NO_VERDICT, sentence)


def _states_differ(all_weighed: Sequence[Weighed]) -> str:
    """Why these masses cannot be compared; empty where they can. A state that nobody said is taken to be that of the rest."""
    states = {w.state for w in all_weighed} - {""}
    if "wet" in states:
        return "Some of it was weighed wet: no verdict before constant mass."
    if len(states) > 1:
        return "Not all of it was weighed in the same state: no verdict before constant mass."
    return ""


def _verdict(difference: Decimal, u: Decimal) -> Balance:
    if not u:
        verdict, e_n = (UNEXPLAINED if difference else ADDS_UP), None
    else:
        e_n = difference / (2 * u)
        verdict = ADDS_UP if abs(e_n) <= 1 else UNEXPLAINED
    return Balance(difference, u, e_n, verdict, _sentence(difference, u, verdict))


def _sentence(difference: Decimal, u: Decimal, verdict: str) -> str:
    gap, within = say.mass(abs(difference)), say.mass(_two_figures(2 * u)) if u else ""
    if verdict == ADDS_UP:
        known = f" within the {within} that the balances can tell" if within else ""
        return f"The masses add up{known}." if not difference else f"The masses add up{known}; the difference is {gap}."
    more_than = f", more than the {within} that the balances can explain" if within else ""
    if difference > 0:
        return f"{gap} of it are not accounted for{more_than}. Look for what is not here yet."
    return f"The parts weigh {gap} more than it did{more_than}: soil, glue, water, or a piece of another?"


def _two_figures(value: Decimal) -> Decimal:
    return round(value, 1 - value.adjusted()) if value else value
