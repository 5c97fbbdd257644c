"""A mark as it was drawn with a finger, or typed."""

from __future__ import annotations

from typing import Any

from catalog.ground import fields as f
from catalog.media.shapes import KINDS


class MarkForm(f.Form):
    """Which shape, where, what it shows. The script fills in the same fields that are typed without it."""

    what = "mark"
    shape = f.PicksField("How is it marked?", choices=[(k, w.capitalize()) for k, w in KINDS])
    position = f.TextLine(
        "Where on the picture?",
        most=4000,
        figures=True,
        autocomplete="off",
        hint="Press on the picture, or write pixels of the original, across and down: 410, 220. "
        "A line or an area has several, one after the other.",
        wanted="Press on the picture, or write pixels across and down, such as 410, 220.",
    )
    radius_px = f.CountField("How wide is its ring?", least=1, required=False, unit="px", hint="For a point only.")
    words = f.TextLine("What is there to see?", most=500, required=False)

    def said(self) -> dict[str, Any]:
        return {n: self.cleaned_data[n] for n in ("shape", "position", "words", "radius_px")}


class UnmarkForm(f.Form):
    what = "taking off"
    because = f.TextLine("Why is it taken off?", most=300, wanted="Write why it is taken off.")
