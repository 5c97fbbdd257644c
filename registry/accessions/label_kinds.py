"""Kinds of label and their sizes, how a number is set on each, what its code costs.

Pure. Lengths in millimetres. A number stands in figures of Atkinson Hyperlegible Mono; it is broken only before a dot and
never set with digits smaller than the least of its kind.
Digits: 20 minutes of arc at the reading distance, 16 at the least (ISO 9241-303, from memory; all sizes ours).
Module: 0.35 mm at the least, 4 dots of a 300 dpi printer; 0.5 mm where there is room (common practice, no source).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from catalog.ground.codes import code_address, code_modules

DIGIT_HEIGHT_EM = 0.668  # of Mono, measured on the font; so is its advance
SIGN_WIDTH_EM = 0.632
LEAST_MODULE_MM = 0.35
GOOD_MODULE_MM = 0.5
LEAST_PRINT_PT = 7
PT_MM = 25.4 / 72


@dataclass(frozen=True)
class Kind:
    """One kind of label. `code_mm` counts the quiet zone; `text_pt` is the print beside the number.

    Digits: as high as `digits_mm`; the number is rather broken than set under `clear_digits_mm` (20 minutes of arc),
    and never set under `least_digits_mm` (16).
    """

    key: str
    name: str
    width_mm: float
    height_mm: float
    code_mm: float
    digits_mm: float
    clear_digits_mm: float
    least_digits_mm: float
    number_lines: int
    text_pt: float
    edge_mm: float
    paired: bool = False


KINDS = {
    kind.key: kind
    for kind in (
        Kind("piece", "a piece tag", 50, 18, 17, 3.7, 3.7, 3.0, 2, 7, 0.5),  # arm's length, 65 cm
        Kind("small-piece", "a small piece tag", 26, 12, 11.6, 2.1, 2.1, 1.7, 3, 7, 0.1),  # in the hand, 35 cm
        Kind("object", "an object tag", 50, 25, 20, 4.5, 3.8, 3.0, 2, 8, 0.6),
        Kind("tray", "a tray label", 90, 38, 36, 9, 7, 7, 2, 11, 1),  # a shelf at 1.5 m
        Kind("bag", "a bag label", 70, 37, 36, 9, 3.8, 3.0, 3, 9, 0.5, paired=True),
        Kind("shelf", "a shelf label", 90, 38, 36, 9, 7, 7, 2, 11, 1),
        Kind("crate", "a crate label", 148, 105, 36, 18, 9, 7, 2, 16, 6),
        Kind("showcase", "a showcase label", 105, 70, 25, 3, 3, 2.6, 1, 10, 6),
    )
}


@dataclass(frozen=True)
class SetNumber:
    """A number as it will stand: its lines and the height of their digits (a small tag has a larger last line)."""

    lines: tuple[str, ...]
    digits_mm: float
    last_digits_mm: float = 0


def text_width_mm(kind: Kind) -> float:
    """Room beside the code (the showcase label has its number under the drawing)."""
    if kind.key == "showcase":
        return kind.width_mm - 2 * kind.edge_mm - kind.code_mm - 2
    return kind.width_mm - 2 * kind.edge_mm - kind.code_mm - gap_mm(kind)


def gap_mm(kind: Kind) -> float:
    return 0.2 if kind.height_mm < 15 else 0.3 if kind.height_mm < 20 else 0.4 if kind.height_mm < 30 else 2.0


def set_number(kind: Kind, number: str) -> SetNumber | None:
    """The number in as few lines as hold it; of two ways to break it the one with higher digits, then the later break."""
    for least in (kind.clear_digits_mm, kind.least_digits_mm):
        for count in range(1, kind.number_lines + 1):
            ways = [SetNumber(lines, _digits_mm(kind, lines)) for lines in _ways_to_break(number, count)]
            fitting = [way for way in ways if way.digits_mm >= least]
            if fitting:
                chosen = max(fitting, key=lambda way: (way.digits_mm, [len(line) for line in way.lines]))
                return replace(chosen, last_digits_mm=_last_digits_mm(kind, chosen))
    return None


def _last_digits_mm(kind: Kind, number: SetNumber) -> float:
    """The piece's own suffix, alone on the last line of a small tag, may be larger: nothing else needs the room."""
    if kind.key != "small-piece" or len(number.lines) != 2:
        return number.digits_mm
    by_width = text_width_mm(kind) / len(number.lines[-1]) * DIGIT_HEIGHT_EM / SIGN_WIDTH_EM
    return round(max(number.digits_mm, min(1.4 * number.digits_mm, by_width)), 2)


def _ways_to_break(number: str, count: int) -> list[tuple[str, ...]]:
    """The number in so many lines, broken before dots only."""
    head, *rest = number.split(".")
    parts = [head, *(f".{part}" for part in rest)]
    return [
        tuple("".join(parts[a:b]) for a, b in pairwise((0, *breaks, len(parts))))
        for breaks in combinations(range(1, len(parts)), count - 1)
    ]


def _digits_mm(kind: Kind, lines: Sequence[str]) -> float:
    """Height of the digits that the room beside the code allows, nought if the lines are too many for it."""
    by_width = text_width_mm(kind) / max(map(len, lines)) * DIGIT_HEIGHT_EM / SIGN_WIDTH_EM
    digits = min(kind.digits_mm, by_width)
    return round(digits, 2) if _number_height_mm(digits, len(lines)) <= kind.height_mm - 2 * top_mm(kind) else 0


def top_mm(kind: Kind) -> float:
    return 6.0 if kind.key == "crate" else min(2.5, 0.06 * kind.height_mm)


def _number_height_mm(digits_mm: float, count: int) -> float:
    return count * digits_mm + (count - 1) * 0.32 * digits_mm


def room_for_lines(kind: Kind, number: SetNumber) -> int:
    """How many lines of small print fit under the number."""
    if kind.key == "small-piece":
        return 0
    capital = DIGIT_HEIGHT_EM * kind.text_pt * PT_MM
    taken = _number_height_mm(number.digits_mm, len(number.lines)) + under_number_mm(kind)
    free = kind.height_mm - 2 * top_mm(kind) - taken
    return 1 + int((free - capital) // line_pitch_mm(kind)) if free >= capital else 0


def line_pitch_mm(kind: Kind) -> float:
    return (1.18 if kind.text_pt < 9 else 1.42) * kind.text_pt * PT_MM


def under_number_mm(kind: Kind) -> float:
    """From the foot of the number to the head of the first line under it."""
    return 1.3 if kind.text_pt < 9 else 0.75 * kind.text_pt * PT_MM


def module_mm(kind: Kind, base_address: str, number: str) -> float:
    """Side of one module of the code on this label: what the length of the base address costs."""
    return kind.code_mm / code_modules(code_address(base_address, number))


def code_warnings(kind: Kind, base_address: str, numbers: Sequence[str]) -> list[str]:
    """Sentences about codes that are finer than a printer may draw them; at most one, about the finest."""
    if not numbers:
        return []
    finest = min(numbers, key=lambda number: module_mm(kind, base_address, number))
    module = module_mm(kind, base_address, finest)
    said = f"The code of {finest} on {kind.name} has modules of {module:.2f} mm."
    if module < LEAST_MODULE_MM:
        return [f"{said} Under 0.35 mm a printer smears them. Take a larger label, or a shorter base address."]
    if module < GOOD_MODULE_MM and kind.code_mm / 33 >= GOOD_MODULE_MM:
        return [f"{said} They read, but 0.5 mm reads better. A shorter base address would give it."]
    return []
