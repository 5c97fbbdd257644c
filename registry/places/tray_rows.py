"""A row of a tray as it was typed, read; rows pasted from a spreadsheet; what is doubtful about a mass. Pure."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import log
from statistics import median

from catalog.ground import say
from catalog.ground.figures import Amount, read_amount
from catalog.ground.refusal import Reason

# the columns in the order of the grid; a sheet without a head is read in this order
COLUMNS = ("number", "mass_g", "kind", "depth", "largest_mm", "faces", "up", "side", "lift_unknown", "note")
HEADS = ("Number", "Mass, g", "Part", "Depth, cm", "Largest, mm", "Faces", "Up marked", "Side", "Lift unknown", "Note")
_CALLED = {
    **{"piece": "number", "no": "number", "no.": "number", "mass": "mass_g", "weight": "mass_g", "g": "mass_g"},
    **{"kind": "kind", "part": "kind", "depth": "depth", "largest": "largest_mm", "size": "largest_mm"},
    **{"largest size": "largest_mm", "length": "largest_mm", "break faces": "faces", "up": "up", "up-mark": "up"},
    **{"compass": "side", "compass side": "side", "remark": "note", "notes": "note"},
}
_YES, _NO = frozenset({"y", "yes", "x", "1", "on", "true", "up", "✓"}), frozenset({"n", "no", "0", "false"})
MOST_FACES = 40
MOST_ROWS = 400


@dataclass(frozen=True)
class RowSaid:
    """One piece as it was typed, in the units of the names; None and empty: not said. `mass_u_g` is one standard uncertainty."""

    number: str = ""
    mass_g: Decimal | None = None
    mass_u_g: Decimal | None = None
    kind: str = ""
    from_cm: Decimal | None = None
    to_cm: Decimal | None = None
    largest_mm: Decimal | None = None
    faces: int | None = None
    up_mark: bool | None = None
    side: str = ""
    lift_unknown: bool = False
    note: str = ""


class _Reading:
    """Reads the cells of one row; every cell that cannot be read is named."""

    def __init__(self, typed: Mapping[str, str], decimal_comma: bool | None) -> None:
        self.typed = {n: " ".join(str(typed.get(n, "") or "").split()) for n in COLUMNS}
        self.comma = decimal_comma
        self.wrong: list[Reason] = []

    def cell(self, name: str, read: Callable[[str], object]) -> object:
        said = self.typed[name]
        if not said:
            return None
        try:
            return read(said)
        except ValueError as error:
            self.wrong.append(Reason(str(error), name, said=said[:60]))
            return None

    def amount(self, name: str, unit: str, what: str) -> Amount | None:
        read = lambda said: read_amount(said, unit=unit, what=what, decimal_comma=self.comma)  # noqa: E731
        return self.cell(name, read)  # type: ignore[return-value]


def read_row(
    typed: Mapping[str, str], kinds: Sequence[tuple[str, str]], *, cast: str = "", decimal_comma: bool | None = None
) -> tuple[RowSaid, list[Reason]]:
    """What a row says, and a sentence for each cell that cannot be read."""
    row = _Reading(typed, decimal_comma)
    mass, largest = row.amount("mass_g", "g", "mass"), row.amount("largest_mm", "mm", "length")
    if mass is not None and mass.value <= 0:
        row.wrong.append(Reason("A mass is above zero. Was the tray still on the pan?", "mass_g", said=mass.said))
    depth = row.cell("depth", lambda said: _depth(said, decimal_comma))
    ends: tuple[Decimal | None, Decimal | None] = depth or (None, None)  # type: ignore[assignment]
    said = RowSaid(
        number=row.cell("number", lambda said: _number(said, cast)) or "",  # type: ignore[arg-type]
        mass_g=mass.value if mass else None,
        mass_u_g=mass.uncertainty / 2 if mass and mass.uncertainty else None,
        kind=row.cell("kind", lambda said: _kind(said, kinds)) or "",  # type: ignore[arg-type]
        from_cm=ends[0],
        to_cm=ends[1],
        largest_mm=largest.value if largest else None,
        faces=row.cell("faces", _faces),  # type: ignore[arg-type]
        up_mark=row.cell("up", _yes_or_no),  # type: ignore[arg-type]
        side=row.cell("side", lambda said: _short(said, 20)) or "",  # type: ignore[arg-type]
        lift_unknown=bool(row.cell("lift_unknown", _yes_or_no)),
        note=row.typed["note"],
    )
    return said, row.wrong


def says_something(typed: Mapping[str, str]) -> bool:
    """A row that holds more than nothing is a piece."""
    return any(str(typed.get(n, "") or "").strip() for n in COLUMNS)


def _number(said: str, cast: str) -> str:
    bare = said[len(cast) + 1 :] if cast and said.casefold().startswith(f"{cast.casefold()}.") else said
    if not re.fullmatch(r"[1-9][0-9]{0,5}(\.[1-9][0-9]{0,3})*", bare):
        raise ValueError("A piece is numbered with figures: 12. Leave it empty for the next number.")
    return bare


def _kind(said: str, kinds: Sequence[tuple[str, str]]) -> str:
    """By its word or the beginning of it, where only one begins so."""
    words = [(key, word.casefold()) for key, word in kinds]
    exact = [key for key, word in words if said.casefold() in (word, key)]
    found = exact or [key for key, word in words if word.startswith(said.casefold())]
    if len(found) != 1:
        raise ValueError(f"Write {say.listed([word for _, word in kinds], 'or')}.")
    return found[0]


def _depth(said: str, comma: bool | None) -> tuple[Decimal, Decimal]:
    """`80-88`, `80 to 88`, `80`: from above to below, in centimetres."""
    ends = re.split(r"\s*(?:-|–|—|−|\bto\b|\.\.)\s*", said.removesuffix("cm").strip())
    if not 1 <= len(ends) <= 2 or not all(ends):
        raise ValueError("Write the depth as 80-88, in centimetres.")
    read = [read_amount(end, unit="cm", what="depth", decimal_comma=comma).value for end in ends]
    if read[0] > read[-1]:
        raise ValueError("The lower end lies above the upper one. Change the two over.")
    if read[-1] > 5000:
        raise ValueError("Deeper than 50 m: look at the unit.")
    return read[0], read[-1]


def _faces(said: str) -> int:
    if not said.isascii() or not said.isdigit() or int(said) > MOST_FACES:
        raise ValueError(f"Count the break faces: a whole number up to {MOST_FACES}.")
    return int(said)


def _yes_or_no(said: str) -> bool | None:
    word = said.casefold()
    if word in ("?", "not known", "unknown"):
        return None
    if word not in _YES | _NO:
        raise ValueError("Write yes or no, or leave it empty.")
    return word in _YES


def _short(said: str, most: int) -> str:
    if len(said) > most:
        raise ValueError(f"Shorten this to {most} letters; it has {len(said)}.")
    return said


# rows from a spreadsheet


def rows_pasted(text: str) -> list[dict[str, str]]:
    """Lines with tabs (or semicolons) between cells. A first line of heads says which column is which; one column is masses.

    ValueError: more than can be taken at once.
    """
    lines = [line for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n") if line.strip()]
    if len(lines) > MOST_ROWS:
        raise ValueError(f"These are {len(lines)} rows. At most {MOST_ROWS} are taken at once.")
    cells = [[c.strip().strip('"') for c in re.split(r"\t|;", line)] for line in lines]
    if not cells:
        return []
    heads = _heads(cells[0])
    if heads:
        cells = cells[1:]
    elif max(map(len, cells)) == 1:
        heads = ["mass_g"]
    else:
        heads = list(COLUMNS)
    return [{n: cell for n, cell in zip(heads, row, strict=False) if n} for row in cells]


def _heads(cells: Sequence[str]) -> list[str]:
    """The columns that a first line names; empty where it is no line of heads."""
    own = dict(zip((h.casefold() for h in HEADS), COLUMNS, strict=True)) | {c: c for c in COLUMNS}
    found = []
    for cell in cells:
        word = cell.casefold().strip()
        bare = re.sub(r"\s*[(,].*$", "", word)
        found.append(own.get(word) or _CALLED.get(word) or own.get(bare) or _CALLED.get(bare) or "")
    return found if sum(map(bool, found)) * 2 > len(found) else []


# doubt


def heavier_than_peers(mass_g: Decimal, peers: Sequence[Decimal]) -> bool:
    """Far above the others of the tray: a modified z-score above 3.5, on the logarithms since fragments are skew.

    Iglewicz and Hoaglin 1993 (NIST/SEMATECH e-Handbook 1.3.5.17), from memory; five others at least. A tray of pieces that
    are nearly alike keeps a width of a third, so that twice the others is not yet a doubt (common practice, no source).
    """
    others = [log(float(p)) for p in peers if p > 0]
    if len(others) < 5 or mass_g <= 0:
        return False
    middle = median(others)
    spread = max(median(abs(x - middle) for x in others), 0.33)
    return 0.6745 * (log(float(mass_g)) - middle) / spread > 3.5


def doubt(number: str, mass_g: Decimal | None, peers: Sequence[Decimal], poured_g: Decimal | None) -> str:
    """What is doubtful about a mass, in a sentence; empty where nothing is. It is kept all the same."""
    if mass_g is None:
        return ""
    if poured_g is not None and mass_g > poured_g:
        return f"Piece {number} weighs {say.mass(mass_g)}, more than the {say.mass(round(poured_g))} that was poured."
    if heavier_than_peers(mass_g, peers):
        low, high = min(peers), max(peers)
        return f"Piece {number} weighs {say.mass(mass_g)}. The others here weigh {say.mass(low)} to {say.mass(high)}."
    return ""
