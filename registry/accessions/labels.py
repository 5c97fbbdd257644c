"""Labels: where each comes to lie on a sheet or roll, and the facts that papers/labels.typ sets them from.

Pure: facts in, facts and sentences out; lengths in millimetres. Kinds, sizes and numbers: label_kinds.py.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from catalog.ground.codes import code_address, code_svg

from .label_kinds import (
    KINDS,
    Kind,
    code_warnings,
    gap_mm,
    line_pitch_mm,
    module_mm,
    room_for_lines,
    set_number,
    text_width_mm,
    top_mm,
    under_number_mm,
)

__all__ = [
    "KINDS",
    "Kind",
    "Label",
    "Sheet",
    "code_warnings",
    "hinders_labels",
    "in_pairs",
    "label_facts",
    "module_mm",
    "places_on",
    "roll_for",
    "ruler_facts",
    "sheet_for",
]


@dataclass(frozen=True)
class Sheet:
    """Where labels lie on a page: rows, columns, margins, gaps; `cut` draws the lines to cut along."""

    name: str
    page_width_mm: float
    page_height_mm: float
    columns: int
    rows: int
    left_mm: float
    top_mm: float
    gap_x_mm: float = 0
    gap_y_mm: float = 0
    cut: bool = True

    @property
    def places(self) -> int:
        return self.columns * self.rows


PAGES = {"a4": (210.0, 297.0), "us-letter": (215.9, 279.4)}
_PRINTABLE_MM = 8.0  # most printers leave an edge blank


def sheet_for(kind: Kind, page: str = "a4", gap_mm: float = 2.0) -> Sheet:
    """The raster that puts most labels of this kind on a page, in its middle: 3 by 14 piece tags on A4."""
    width, height = PAGES[page]
    if kind.key == "showcase":  # its own edges are blank, so it may reach to the paper's
        gap_mm, blank = 0.0, 0.0
    else:
        blank = _PRINTABLE_MM
    columns = max(1, int((width - 2 * blank + gap_mm) // (kind.width_mm + gap_mm)))
    rows = max(1, int((height - 2 * blank + gap_mm) // (kind.height_mm + gap_mm)))
    left = (width - columns * kind.width_mm - (columns - 1) * gap_mm) / 2
    top = (height - rows * kind.height_mm - (rows - 1) * gap_mm) / 2
    name = f"Sheet {'A4' if page == 'a4' else 'Letter'}, {columns} by {rows}"
    return Sheet(name, width, height, columns, rows, round(left, 2), round(top, 2), gap_mm, gap_mm)


def roll_for(kind: Kind) -> Sheet:
    """One label after the other on a roll as wide as the label."""
    name = f"Roll, {kind.width_mm:g} mm wide"
    return Sheet(name, kind.width_mm, kind.height_mm, 1, 1, 0, 0, cut=False)


@dataclass(frozen=True)
class Label:
    """What one label says. `lines`: the print beside the number, most needed first."""

    number: str
    title: str = ""
    latin: str = ""
    lines: tuple[str, ...] = ()
    side: str = ""  # of a bag's pair
    up: bool = False  # crate: which way is up
    drawing: str = ""  # showcase: name of a picture, and what it shows
    drawing_says: str = ""


def hinders_labels(kind: Kind, sheet: Sheet, labels: Sequence[Label], first_free: int = 1) -> list[str]:
    """Sentences that say why this cannot be printed; empty when it can."""
    hindrances = [
        f"{label.number} does not fit on {kind.name} with digits that can be read. Take a larger label."
        for label in labels
        if set_number(kind, label.number) is None
    ]
    if not labels:
        hindrances.append("There is nothing to print a label for.")
    if not 1 <= first_free <= sheet.places:
        hindrances.append(f"The sheet has {sheet.places} labels. Write a first free label from 1 to {sheet.places}.")
    width = sheet.left_mm + sheet.columns * kind.width_mm + (sheet.columns - 1) * sheet.gap_x_mm
    height = sheet.top_mm + sheet.rows * kind.height_mm + (sheet.rows - 1) * sheet.gap_y_mm
    if width > sheet.page_width_mm + 0.01 or height > sheet.page_height_mm + 0.01:
        hindrances.append(
            f"{sheet.columns} by {sheet.rows} labels take {width:g} x {height:g} mm; "
            f"the page has {sheet.page_width_mm:g} x {sheet.page_height_mm:g} mm. Write fewer rows or columns, or smaller gaps."
        )
    return hindrances


def places_on(sheet: Sheet, kind: Kind, count: int, first_free: int = 1) -> list[tuple[int, float, float]]:
    """Page (from 1), left and top in mm of so many labels, row by row from the first free place."""
    found = []
    for n in range(first_free - 1, first_free - 1 + count):
        page, place = divmod(n, sheet.places)
        row, column = divmod(place, sheet.columns)
        left = sheet.left_mm + column * (kind.width_mm + sheet.gap_x_mm)
        top = sheet.top_mm + row * (kind.height_mm + sheet.gap_y_mm)
        found.append((page + 1, round(left, 3), round(top, 3)))
    return found


def in_pairs(labels: Sequence[Label]) -> list[Label]:
    """Two of each: one for inside the bag, one for outside."""
    return [replace(label, side=f"{side} the bag") for label in labels for side in ("inside", "outside")]


def _folded(lines: Sequence[str], room: int, collection: dict[str, str]) -> list[str]:
    """The lines and whose it is, in as many lines as there is room for.

    With a line to spare the collection stands in full, else its code before the last; what is over joins the last.
    """
    told = [line for line in lines if line]
    if room <= 0:
        return []
    if len(told) < room:
        return [*told, collection.get("short") or collection["name"]]
    kept, over = told[: room - 1], told[room - 1 :]
    return [*kept, " · ".join((collection["code"], *over))]


def label_facts(
    kind: Kind,
    sheet: Sheet,
    labels: Sequence[Label],
    *,
    base_address: str,
    first_free: int = 1,
    collection: dict[str, str],
) -> tuple[dict[str, Any], dict[str, bytes]]:
    """Facts and pictures for papers/labels.typ. Raises ValueError with the sentences of hinders_labels."""
    shown = in_pairs(labels) if kind.paired else list(labels)
    if hindrances := hinders_labels(kind, sheet, shown, first_free):
        raise ValueError(" ".join(hindrances))
    pictures: dict[str, bytes] = {}
    files = {number: f"code-{n}.svg" for n, number in enumerate(dict.fromkeys(label.number for label in shown))}
    rows = []
    for label, (page, left, top) in zip(shown, places_on(sheet, kind, len(shown), first_free), strict=True):
        address = code_address(base_address, label.number)
        file = files[label.number]
        pictures[file] = code_svg(address).encode()
        number = set_number(kind, label.number)
        assert number is not None
        room = room_for_lines(kind, number) - bool(label.title) - bool(label.latin) - bool(label.side)
        rows.append(
            {
                "page": page,
                "left_mm": left,
                "top_mm": top,
                "number": label.number,
                "number_lines": list(number.lines),
                "digits_mm": number.digits_mm,
                "last_digits_mm": number.last_digits_mm,
                "code": address,
                "file": file,
                "title": label.title,
                "latin": label.latin,
                "lines": list(label.lines) if kind.key == "showcase" else _folded(label.lines, room, collection),
                "side": label.side,
                "up": label.up,
                "drawing": label.drawing,
                "drawing_says": label.drawing_says,
            }
        )
    return _sheet_facts(kind, sheet, collection) | {"labels": rows}, pictures


def ruler_facts(kind: Kind, sheet: Sheet, *, collection: dict[str, str]) -> dict[str, Any]:
    """Facts of the test page: the outlines of the labels and two rulers that show a printer's shift and shrinking."""
    outlines = [{"left_mm": left, "top_mm": top} for _, left, top in places_on(sheet, kind, sheet.places)]
    return _sheet_facts(kind, sheet, collection) | {"labels": [], "outlines": outlines}


def _sheet_facts(kind: Kind, sheet: Sheet, collection: dict[str, str]) -> dict[str, Any]:
    return {
        "collection": collection,
        "paper": {"name": f"{kind.name.partition(' ')[2].capitalize()}s, {sheet.name}"},
        "page_width_mm": sheet.page_width_mm,
        "page_height_mm": sheet.page_height_mm,
        "cut": sheet.cut,
        "kind": {
            "key": kind.key,
            "width_mm": kind.width_mm,
            "height_mm": kind.height_mm,
            "code_mm": kind.code_mm,
            "text_pt": kind.text_pt,
            "edge_mm": kind.edge_mm,
            "top_mm": round(top_mm(kind), 3),
            "gap_mm": gap_mm(kind),
            "text_width_mm": round(text_width_mm(kind), 3),
            "under_number_mm": under_number_mm(kind),
            "pitch_mm": round(line_pitch_mm(kind), 3),
        },
    }
