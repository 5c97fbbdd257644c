"""What is left of a material lot. Pure: grams in, grams and sentences out.

Each line of a lot's ledger is above zero for what came in and below zero for what went out; the balance is their sum and
is never below zero. Common practice of a stock ledger, no source.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from catalog.ground import say
from catalog.ground.refusal import Reason

TAKEN_IN, DRAWN, PUT_BACK, LOST, CORRECTED = "taken in", "drawn", "put back", "lost", "corrected"
_OUT = (DRAWN, LOST)
MOST_G = Decimal(100_000_000)


def change_g(kind: str, mass_g: Decimal) -> Decimal:
    """The mass of a ledger's line with its sign; a correction bears its own."""
    return -mass_g if kind in _OUT else mass_g


def balance_g(changes: Iterable[Decimal]) -> Decimal:
    """What is left after these lines."""
    return sum(changes, Decimal(0))


def hinders_moving(code: str, kind: str, mass_g: Decimal, *, there_g: Decimal, words: str = "") -> list[Reason]:
    """Reasons against a line of the ledger of lot `code`, in which `there_g` is left now."""
    if kind == CORRECTED and not mass_g:
        return [Reason("A correction of nothing changes nothing. Write what was too much or too little.", "mass_g")]
    if kind != CORRECTED and mass_g <= 0:
        return [Reason("Write a mass above zero.", "mass_g", said=str(mass_g))]
    if kind in (LOST, CORRECTED) and not words.strip():
        return [Reason("Write how it came to that.", "words")]
    left_g = there_g + change_g(kind, mass_g)
    if left_g < 0:
        return [Reason(_too_little(code, mass_g, there_g), "mass_g", said=str(mass_g))]
    if left_g > MOST_G:
        return [Reason(f"More than {say.mass(MOST_G)} in one lot: compare the unit.", "mass_g", said=str(mass_g))]
    return []


def _too_little(code: str, mass_g: Decimal, there_g: Decimal) -> str:
    if not there_g:
        return f"Nothing is left in {code}. Take in what came first, or name another lot."
    return (
        f"There are {say.mass(there_g)} in {code}, and {say.mass(abs(mass_g))} are more than that. "
        "Write less, or take in what came first."
    )


def hinders_pour(mass_g: Decimal | None, recovered_g: Decimal | None) -> list[Reason]:
    """More never comes back out of the ground than went into it."""
    if mass_g is None or recovered_g is None or recovered_g <= mass_g:
        return []
    sentence = f"{say.mass(recovered_g)} cannot come back of {say.mass(mass_g)}. Compare the two masses."
    return [Reason(sentence, "recovered_g", said=str(recovered_g))]
