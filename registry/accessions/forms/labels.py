"""What labels are asked for: which things, which label, on what, from which place on the sheet. Asked by GET, nothing is written."""

from __future__ import annotations

import re

from catalog.ground import fields as f

SHEET, ROLL = "sheet", "roll"


class LabelsForm(f.Form):
    """`kind` is chosen among pictures, so the page draws its own picks."""

    of = f.Words(
        "Which ones? Type or scan their numbers",
        most=8000,
        rows=3,
        required=False,
        hint="One to a line, or with commas between: 2016.1, 2016.1.3, K-12.",
    )
    kind = f.TextLine("Which label?", required=False, most=20)
    on = f.PicksField("On what?", choices=[(SHEET, "Sheet"), (ROLL, "Roll")], required=False)
    first = f.CountField("First free label on the sheet", least=1, most=1000, required=False)


def numbers_in(text: str) -> list[str]:
    """What was typed or scanned, one after the other, each once."""
    return list(dict.fromkeys(part.strip() for part in re.split(r"[\n,;]+", text) if part.strip()))
